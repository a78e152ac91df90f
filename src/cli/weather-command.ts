import { type Command, Option } from 'commander'
import { SERVICE_IDS } from '../fetch/services/names.ts'
import type { ExitCode } from '../shell/exit-codes.ts'
import { helpEnd } from '../shell/help-text.ts'
import { wholeFrom } from '../shell/option-values.ts'
import type { WeatherOptions } from './weather/fetch-weather.ts'

const END = helpEnd(
  [
    [
      'ceteris weather my-test --dry-run',
      'prints the addresses of the weather reports for the drives in my-test, to be opened in a browser; asks nobody',
    ],
  ],
  {
    0: 'done, or nothing was missing',
    1: 'done in part: what failed, held nothing or was left is listed',
    2: 'nothing was fetched: no drive with times, no yes, or no answer at all (why)',
  },
)

const MORE = `
With --yes, or after your yes, answers are written to my-test/weather as they come, with the list ceteris-fetched.json.
Only names of stations, days, middles of cells of a quarter of a degree and, for terrain, square degrees leave this
computer; private places of campaign.yaml count in none of them. docs/weather.md says what was tried against recorded answers and what was not.
`

/** Adds the command `weather`. */
export function addWeatherCommand(program: Command, setExitCode: (code: ExitCode) => void): void {
  program
    .command('weather')
    .description('fetch the weather observations that the drives in a folder need, from public services')
    .argument('<folder>', 'the folder with the tracks; what is fetched goes to its folder weather')
    .option('--yes', 'fetch without asking first')
    .option('--dry-run', 'print the addresses, and ask nobody')
    .addOption(
      new Option(
        '--service <names...>',
        'ask these services only (default: iem, and dwd in Germany; all but iem are untried against real answers)',
      ).choices(SERVICE_IDS),
    )
    .addOption(
      new Option(
        '--model <name>',
        'fetch a model’s air too, for where no station is; free for non-commercial use',
      ).choices(['era5']),
    )
    .addOption(
      new Option(
        '--terrain [source]',
        'fetch terrain tiles along the roads too (default: skadi; both untried against the real services)',
      ).choices(['skadi', 'glo-30']),
    )
    .addOption(
      new Option(
        '--forecast [source]',
        'fetch forecasts for plan windows, and no observations (default: nws in the United States, else mosmix)',
      ).choices(['mosmix', 'nws', 'open-meteo']),
    )
    .option('--most-requests <count>', 'stop after so many requests', wholeFrom(1, 10_000), 200)
    .option('--most-mb <count>', 'stop after so many megabytes', wholeFrom(1, 100_000), 300)
    .option('--most-minutes <count>', 'stop after so many minutes', wholeFrom(1, 1440), 20)
    .option('--json', 'print what was fetched as JSON')
    .addHelpText('after', END)
    .addHelpText('after', MORE)
    .exitOverride()
    .action(async (folder: string, options: WeatherOptions) => {
      const { fetchWeather } = await import('./weather/fetch-weather.ts')
      setExitCode(await fetchWeather(folder, options))
    })
}
