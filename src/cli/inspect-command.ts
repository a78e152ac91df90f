import { type Command, Option } from 'commander'
import { SYSTEMS } from '../base/quantities.ts'
import type { ExitCode } from '../shell/exit-codes.ts'
import { helpEnd } from '../shell/help-text.ts'
import type { InspectOptions } from './inspect.ts'

const END = helpEnd(
  [
    ['ceteris inspect my-test/tracks/*.gpx', 'tells of each drive how it went and whether the recording is sound'],
    [
      'ceteris inspect my-test/tracks/*.gpx --weather my-test/weather/* --campaign my-test/campaign.yaml',
      'tells also what air it met and how well that is known',
    ],
  ],
  {
    0: 'done',
    1: 'done, with errors in some files (they are listed)',
    2: 'nothing could be done: no file holds a track with times that could be used',
  },
)

/** Adds the command `inspect`. */
export function addInspectCommand(program: Command, setExitCode: (code: ExitCode) => void): void {
  program
    .command('inspect')
    .description('tell of single tracks the drive, the air it met and the quality of the recording')
    .argument('<track...>', 'files with tracks')
    .option('--weather <files...>', 'files with weather observations')
    .option('--campaign <file>', 'a campaign.yaml, for its time zone, stations and vehicle')
    .addOption(new Option('--units <system>', 'units of the text').choices(SYSTEMS).default('si'))
    .option('--json', 'print the result as JSON, always in SI')
    .addHelpText('after', END)
    .exitOverride()
    .action(async (tracks: string[], options: InspectOptions) => {
      const { inspectTracks } = await import('./inspect.ts')
      setExitCode(await inspectTracks(tracks, options))
    })
}
