import type { Command } from 'commander'
import type { ExitCode } from '../shell/exit-codes.ts'
import { helpEnd } from '../shell/help-text.ts'
import { numberFrom, wholeFrom } from '../shell/option-values.ts'
import type { WatchOptions } from '../watch/watch.ts'

const END = helpEnd(
  [
    [
      'ceteris watch my-test',
      'makes the report, prints the address at which it can be read on this computer, and makes it anew as files arrive; Ctrl-C stops',
    ],
  ],
  {
    0: 'stopped',
    1: 'never',
    2: 'nothing could be done: no folder (or no longer), the port is taken, or the report cannot be written there',
  },
)

/** Adds the command `watch`. */
export function addWatchCommand(program: Command, setExitCode: (code: ExitCode) => void): void {
  program
    .command('watch')
    .description('keep the report up to date while files arrive, and show it at an address of this computer')
    .argument('<folder>', 'the folder that the files arrive in')
    .option(
      '--out <folder>',
      'where the report is written (default: <folder>/report); an earlier report is replaced, your own files in it stay',
    )
    .option('--margin <percent>', 'the difference that counts as equal, ± percent', numberFrom(0.05, 50))
    .option('--draws <count>', 'random draws per drive', wholeFrom(50, 100000), 400)
    .option('--seed <number>', 'the same seed gives the same report', wholeFrom(0, 2 ** 32 - 1), 1)
    .option('--port <number>', 'port of the address; 0: any that is free', wholeFrom(0, 65535), 0)
    .option('--settle <seconds>', 'how long no file may have grown before it is read', numberFrom(0.1, 600), 2)
    .option('--json', 'print a line of JSON for each thing that happens')
    .addHelpText('after', END)
    .exitOverride()
    .action(async (folder: string, options: WatchOptions) => {
      const { watchFolder } = await import('../watch/watch.ts')
      setExitCode(await watchFolder(folder, options))
    })
}
