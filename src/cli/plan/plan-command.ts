import { type Command, Option } from 'commander'
import { SYSTEMS } from '../../base/quantities.ts'
import { MEASURING_WAYS, ROUTE_SHAPES, STATED_AS_WELL } from '../../plan/choices.ts'
import type { ExitCode } from '../../shell/exit-codes.ts'
import { helpEnd } from '../../shell/help-text.ts'
import { numberFrom, wholeFrom } from '../../shell/option-values.ts'
import type { RepeatsOptions } from './plan-repeats.ts'
import type { SheetOptions } from './plan-sheet.ts'
import type { WindowsOptions } from './plan-windows.ts'

const REPEATS_END = helpEnd(
  [
    [
      'ceteris plan repeats --effect 3 --road-km 100 --shape loop --fuel scale',
      'tells how many drives it takes to find a change of 3 % on a loop of 100 km with the fuel weighed',
    ],
    [
      'ceteris plan repeats --effect 2 --folder my-test',
      'the same with the roads, the repeatability and the conditions of the drives in the folder my-test',
    ],
  ],
  {
    0: 'done',
    1: 'done, with errors in some inputs (they are listed)',
    2: 'nothing could be done (why)',
  },
)

const WINDOWS_END = helpEnd(
  [
    [
      'ceteris plan windows my-test --forecast forecast.csv',
      'ranks the starts of the coming days by how well their air should resemble that of the baseline drives in my-test',
    ],
    [
      'ceteris plan windows my-test --forecast forecast.csv --drive monday --days 2 --svg windows.svg',
      'the same against the drive monday alone, with a picture',
    ],
  ],
  {
    0: 'done',
    1: 'done, with errors in some inputs (they are listed)',
    2: 'nothing could be done: no drive with known air, or no forecast for the time asked for',
  },
)

const SHEET_END = helpEnd(
  [
    [
      'ceteris plan sheet --setups bare,rack --drives 4 --out sheet.html',
      'prints a sheet for four drives with and four without the rack, and writes it as a page to be printed',
    ],
    [
      'ceteris plan sheet --folder my-test --effect 3',
      'the same with the setups, the vehicle and the road of my-test, and as many drives as it takes to find 3 %',
    ],
  ],
  {
    0: 'done',
    1: 'done, with errors in some inputs (they are listed)',
    2: 'nothing could be done (why)',
  },
)

/** Adds the command `plan` with its three questions. */
export function addPlanCommand(program: Command, setExitCode: (code: ExitCode) => void): void {
  const plan = program
    .command('plan')
    .description('before driving: how many drives of what length, when, and a sheet to write on')
    .exitOverride()
  addRepeatsCommand(plan, setExitCode)
  addWindowsCommand(plan, setExitCode)
  addSheetCommand(plan, setExitCode)
}

function addRepeatsCommand(plan: Command, setExitCode: (code: ExitCode) => void): void {
  plan
    .command('repeats')
    .description('how many drives on what length of road it takes to find an effect')
    .requiredOption('--effect <percent>', 'change of consumption to be found, in percent', numberFrom(-90, 900))
    .option('--road-km <km>', 'length of one drive', numberFrom(1, 5000))
    .option('--track <file>', 'a recording of the road, in place of its length and shape')
    .option('--lengths <km,km>', 'lengths to consider (default: half, once and twice the road’s)')
    .addOption(
      new Option('--shape <shape>', 'of the road (default: that of the recording or folder, or loop)').choices(
        ROUTE_SHAPES,
      ),
    )
    .addOption(new Option('--fuel <way>', 'how fuel is measured (default: pump)').choices(MEASURING_WAYS))
    .option(
      '--fuel-error <value>',
      'standard deviation of one fill (litres) or weighing (kg), or of a logged or charged amount (percent)',
      numberFrom(0, 100),
    )
    .addOption(new Option('--also <way>', 'what is read of each drive beside its fuel').choices(STATED_AS_WELL))
    .option(
      '--baseline-drives <n>',
      'drives of the baseline, driven or planned (default: as many as with the change)',
      wholeFrom(1, 100),
    )
    .addOption(new Option('--fuel-kind <kind>', 'the fuel').choices(['petrol', 'diesel']))
    .option('--consumption <per 100 km>', 'litres, or kWh with --fuel battery', numberFrom(0.1, 500))
    .option('--fuel-temperature-read', 'the temperature of the fuel is read at every fill')
    .option('--repeatability <percent>', 'run-to-run standard deviation beyond all known errors', numberFrom(0.01, 50))
    .option(
      '--conditions <percent>',
      'standard deviation of the demand from what is not known of a drive’s air',
      numberFrom(0, 50),
    )
    .option('--folder <folder>', 'a campaign’s folder, whose roads, repeatability and conditions are used')
    .option('--json', 'print the plan as JSON')
    .addHelpText('after', REPEATS_END)
    .exitOverride()
    .action(async (options: RepeatsOptions) => {
      const { planRepeats } = await import('./plan-repeats.ts')
      setExitCode(await planRepeats(options))
    })
}

function addWindowsCommand(plan: Command, setExitCode: (code: ExitCode) => void): void {
  plan
    .command('windows')
    .description('rank the starts of the coming days by how well their air should resemble that of earlier drives')
    .argument('<folder>', 'the folder with the earlier drives and their weather')
    .option(
      '--forecast <files...>',
      'weather with times ahead, of one or several places (default: what ceteris weather --forecast fetched)',
    )
    .option('--drive <id>', 'the drive whose conditions are wanted again (default: all drives of the baseline)')
    .option('--road <name>', 'the road, where the baseline was driven on several')
    .option(
      '--margin <percent>',
      'what counts as equal, ± percent (default: that of campaign.yaml, or 1)',
      numberFrom(0.05, 50),
    )
    .option('--from <time>', 'first start, and the time from which the forecast’s errors grow (default: now)')
    .option('--days <count>', 'days ahead', numberFrom(0.1, 16), 3)
    .addOption(new Option('--step <minutes>', 'between starts').choices(['15', '30', '60', '120', '180']).default('60'))
    .option('--rows <count>', 'rows of the ranked list', wholeFrom(1, 2000), 12)
    .option('--svg <file>', 'also write a picture; replaces such a picture only')
    .option('--draws <count>', 'random draws per drive', wholeFrom(50, 100000), 400)
    .option('--seed <number>', 'the same seed gives the same figures', wholeFrom(0, 2 ** 32 - 1), 1)
    .option('--json', 'print the plan as JSON')
    .addHelpText('after', WINDOWS_END)
    .exitOverride()
    .action(async (folder: string, options: WindowsOptions) => {
      const { planWindows } = await import('./plan-windows.ts')
      setExitCode(await planWindows(folder, options))
    })
}

function addSheetCommand(plan: Command, setExitCode: (code: ExitCode) => void): void {
  plan
    .command('sheet')
    .description('a sheet of paper for the field: the order of drives, what to note at the pump and by the road')
    .option('--setups <names>', 'with commas between, the unchanged vehicle first (default: those of --folder)')
    .option('--folder <folder>', 'a campaign’s folder, whose setups, vehicle, road and time zone are used')
    .addOption(
      new Option('--drives <count>', 'drives of each setup (default: what --effect takes, or 3)')
        .argParser(wholeFrom(1, 12))
        .conflicts('effect'),
    )
    .option('--effect <percent>', 'change of consumption to be found, in percent', numberFrom(-90, 900))
    .option('--road-km <km>', 'length of one drive, for --effect', numberFrom(1, 5000))
    .addOption(new Option('--fuel <way>', 'how fuel is measured (default: pump)').choices(MEASURING_WAYS))
    .addOption(new Option('--units <system>', 'in which you write').choices(SYSTEMS).default('si'))
    .option('--out <file>', 'also write a page to print (HTML); replaces such a page only')
    .addHelpText('after', SHEET_END)
    .exitOverride()
    .action(async (options: SheetOptions) => {
      const { planSheet } = await import('./plan-sheet.ts')
      setExitCode(await planSheet(options))
    })
}
