import { type Command, Option } from 'commander'
import { SYSTEMS } from '../base/quantities.ts'
import type { ExitCode } from '../shell/exit-codes.ts'
import { helpEnd } from '../shell/help-text.ts'
import type { InspectOptions } from './inspect.ts'

const END = helpEnd(
  [
    ['ceteris inspect my-test/tracks/*.gpx', 'shows each drive and whether its recording is sound'],
    [
      'ceteris inspect my-test/tracks/*.gpx --weather my-test/weather/* --campaign my-test/campaign.yaml',
      'shows also the air of each drive and how well it is known',
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
    .description('show for single recordings the drive, the air and the quality of the recording')
    .argument('<track...>', 'files with recordings')
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
