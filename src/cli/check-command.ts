import type { Command } from 'commander'
import type { ExitCode } from '../shell/exit-codes.ts'
import { helpEnd } from '../shell/help-text.ts'
import { wholeFrom } from '../shell/option-values.ts'
import type { CheckOptions } from './check.ts'

const END = helpEnd(
  [
    [
      'ceteris check my-test',
      'lists what is wrong or weak in the folder my-test, what costs most first, with what to do about it; writes nothing',
    ],
  ],
  {
    0: 'checked, without errors in the inputs (weaknesses may be listed)',
    1: 'checked, with errors in some inputs',
    2: 'nothing could be checked: no folder, or no track in it that could be used',
  },
)

/** Adds the command `check`. */
export function addCheckCommand(program: Command, setExitCode: (code: ExitCode) => void): void {
  program
    .command('check')
    .description('list what is wrong or weak in a folder, sorted by what it costs the answer')
    .argument('<folder>', 'the folder with the tracks, the weather and, if there are any, runs.csv and campaign.yaml')
    .option('--draws <count>', 'random draws per drive', wholeFrom(50, 100000), 400)
    .option('--seed <number>', 'the same seed gives the same figures', wholeFrom(0, 2 ** 32 - 1), 1)
    .option('--json', 'print the list as JSON')
    .addHelpText('after', END)
    .exitOverride()
    .action(async (folder: string, options: CheckOptions) => {
      const { checkFolder } = await import('./check.ts')
      setExitCode(await checkFolder(folder, options))
    })
}
