import { availableParallelism } from 'node:os'
import { type Command, InvalidArgumentError, Option } from 'commander'
import type { CampaignSettings } from '../campaign/campaign-input.ts'
import { isProcedureId, procedures } from '../compare/limits.ts'
import type { CardChoice } from '../report/cards/cards.ts'
import { POINT_FORMS, type PointForm } from '../report/points/points.ts'
import { numberFrom, wholeFrom } from '../shell/option-values.ts'

/** What a run's own result depends on, beside the files. */
export interface RunOptions {
  limits?: string[]
  draws: number
  seed: number
}

export interface ReportOptions extends RunOptions {
  out?: string
  margin?: number
  poolRoads?: boolean
  correctDrift?: boolean
  worth?: number
  fuelPrice?: number
  /** Default: some. */
  cards?: CardChoice
  /** In which forms each run's points are written; none by default. */
  points?: PointForm[]
  /** Small copies of photos are put into the page. */
  photos?: boolean
  jobs: number
  /** False: nothing is taken from or put into the cache. */
  cache?: boolean
  json?: boolean
  quiet?: boolean
}

/** The options that both a report and a part of its runs know. */
export function withRunOptions(command: Command): Command {
  return command
    .option(
      '--limits <names>',
      'published test procedures to hold the drives against, separated by commas',
      procedureNames,
    )
    .option('--draws <count>', 'random draws per drive', wholeFrom(50, 100000), 400)
    .option('--seed <number>', 'the same seed gives the same report', wholeFrom(0, 2 ** 32 - 1), 1)
}

/** The options of a report, wherever its files come from. */
export function withReportOptions(command: Command): Command {
  command.option(
    '--margin <percent>',
    'the difference that counts as equal, ± percent (default: that of campaign.yaml, or 1)',
    numberFrom(0.05, 50),
  )
  return withJobs(
    withRunOptions(command)
      .option('--pool-roads', 'also pool the claims of several roads into one')
      .option('--correct-drift', 'take a trend in time of the baseline drives out of the claims')
      .option('--worth <km>', 'say what each claim is worth over this yearly distance', numberFrom(1, 1e7))
      .option('--fuel-price <price>', 'of a litre or kWh in your currency, for --worth', numberFrom(0, 1e6))
      .addOption(
        new Option(
          '--cards <which>',
          'pictures to show with a claim or a film: of the claims and the first 12 drives, or of all',
        )
          .choices(['some', 'all', 'none'])
          .default('some'),
      )
      .option(
        '--points <forms>',
        `also write each drive with its road, air and demand, point by point: ${POINT_FORMS.join(', ')}, separated by commas`,
        pointForms,
      ),
  )
    .option('--no-cache', 'compute everything again, and keep nothing for the next call')
    .option('--json', 'print report.json in place of the summary')
    .option('--quiet', 'print errors only')
}

/** The option that says how many workers there are. */
export function withJobs(command: Command): Command {
  return command.addOption(
    new Option('--jobs <count>', 'files read at the same time')
      .argParser(wholeFrom(1, 256))
      .default(availableParallelism(), 'one per processor'),
  )
}

/** The options as the pipeline knows them. */
export function settingsOf(options: ReportOptions): CampaignSettings {
  const { worth, fuelPrice = null } = options
  return {
    marginPct: options.margin ?? null,
    limits: options.limits ?? null,
    draws: options.draws,
    seed: options.seed,
    poolRoutes: options.poolRoads ?? false,
    correctDrift: options.correctDrift ?? false,
    worth: worth === undefined ? null : { yearlyDistanceKm: worth, pricePerUnit: fuelPrice },
  }
}

function pointForms(text: string): PointForm[] {
  const forms = names(text)
  const unknown = forms.filter((form) => !POINT_FORMS.some((known) => known === form))
  if (forms.length > 0 && unknown.length === 0) return POINT_FORMS.filter((form) => forms.includes(form))
  throw new InvalidArgumentError(`Expected one or several of ${POINT_FORMS.join(', ')}, separated by commas.`)
}

function procedureNames(text: string): string[] {
  const found = names(text)
  if (found.length > 0 && found.every(isProcedureId)) return found
  throw new InvalidArgumentError(
    `Expected one or several of ${Object.keys(procedures).join(', ')}, separated by commas.`,
  )
}

const names = (text: string): string[] =>
  text
    .split(',')
    .map((name) => name.trim())
    .filter((name) => name !== '')
