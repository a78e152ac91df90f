import { type Command, Option } from 'commander'
import type { ExitCode } from '../shell/exit-codes.ts'
import { helpEnd } from '../shell/help-text.ts'
import type { InitOptions } from './init.ts'

const END = helpEnd(
  [
    [
      'ceteris init my-test',
      'writes my-test/runs.csv with a row per track and a commented my-test/campaign.yaml; what is there already stays as it is',
    ],
    [
      'ceteris init my-test --table xlsx',
      'writes my-test/runs.xlsx in place of runs.csv: a workbook with a sheet of drives, and the setups of campaign.yaml to choose from',
    ],
  ],
  {
    0: 'done (also where both files were there already)',
    1: 'done, with errors in some tracks (they are listed)',
    2: 'nothing could be done: no folder, no track in it that could be used, or no permission to write',
  },
)

/** Adds the command `init`. */
export function addInitCommand(program: Command, setExitCode: (code: ExitCode) => void): void {
  program
    .command('init')
    .description('write a first runs.csv and campaign.yaml for the tracks in a folder; nothing is overwritten')
    .argument('<folder>', 'the folder with the tracks')
    .addOption(
      new Option('--table <kind>', 'how the table of drives is written').choices(['csv', 'xlsx']).default('csv'),
    )
    .option('--json', 'print what was written as JSON')
    .addHelpText('after', END)
    .exitOverride()
    .action(async (folder: string, options: InitOptions) => {
      const { initFolder } = await import('./init.ts')
      setExitCode(await initFolder(folder, options))
    })
}
