import { Command, CommanderError } from 'commander'
import { cleaned } from '../base/names.ts'
import { fileErrorReason } from '../files/file-errors.ts'
import { DONE, type ExitCode, NOTHING_DONE } from '../shell/exit-codes.ts'
import { wrappedHelp } from '../shell/help-text.ts'
import { packageVersion } from '../shell/package-version.ts'
import { refusalJson } from '../shell/refusal.ts'
import { columnsOf } from '../shell/terminal-stream.ts'
import { addBatchCommand } from './batch-command.ts'
import { addFieldCommands } from './field-commands.ts'
import { addPlanCommand } from './plan/plan-command.ts'
import { type ReportOptions, withReportOptions } from './report-options.ts'

/** Runs the command line and sets the exit code of the process; nothing else in the program does. */
export async function main(argv: readonly string[]): Promise<void> {
  leaveQuietlyWhenNobodyReads()
  process.exitCode = await exitCodeOf(argv)
}

async function exitCodeOf(argv: readonly string[]): Promise<ExitCode> {
  let exitCode: ExitCode = DONE
  const program = commandLine((code) => {
    exitCode = code
  })
  const debug = argv.includes('--debug')
  try {
    await program.parseAsync(argv.filter((word) => word !== '--debug'))
    return exitCode
  } catch (error) {
    // Commander has written its message already; asking for help or the version is no error.
    if (error instanceof CommanderError) {
      if (error.exitCode === 0) return DONE
      if (argv.includes('--json')) process.stdout.write(refusalJson(error.message.replace(/^error: /, '')))
      return NOTHING_DONE
    }
    process.stderr.write(faultText(error, debug))
    return NOTHING_DONE
  }
}

/** What is said of a fault of our own: where in the program it arose only when asked for. */
function faultText(error: unknown, debug: boolean): string {
  const what = cleaned(error instanceof Error ? `${error.name}: ${error.message.slice(0, 300)}` : String(error))
  const start = `ceteris: this is a fault of the program, not of your files: ${what}\n`
  if (!debug) return `${start}Please report it with what the same call prints with --debug.\n`
  return `${start}Please report it with the lines below.\n${error instanceof Error ? error.stack : ''}\n`
}

const EXAMPLE = `
Example:
  $ ceteris report my-test --margin 1.5
  reads the tracks and the weather in the folder my-test, writes my-test/report, prints which drives can be compared

Exit codes: 0 done; 1 done, with errors in some inputs (they are listed); 2 nothing could be done (why).
Names of test procedures for --limits are listed in the README.`

/** Descriptions of options are broken into lines unless less than this is left beside the options. */
const NARROWEST_DESCRIPTION = 20

function commandLine(setExitCode: (code: ExitCode) => void): Command {
  const program = new Command('ceteris')
  program
    .description('Were two drives of the same road made under equal enough conditions to be compared?')
    .version(packageVersion(), '--version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .addHelpText('after', EXAMPLE)
    .option('--debug', 'with a fault of the program, show where in it the fault arose')
    .showHelpAfterError('(ceteris --help lists commands and options)')
    .configureHelp({ minWidthToWrap: NARROWEST_DESCRIPTION })
    .configureOutput({
      getOutHelpWidth: () => columnsOf(process.stdout),
      getErrHelpWidth: () => columnsOf(process.stderr),
      writeOut: (text) => process.stdout.write(wrappedHelp(text, columnsOf(process.stdout))),
      writeErr: (text) => process.stderr.write(text.split('\n').map(cleaned).join('\n')),
    })
    .exitOverride()
  const report = program
    .command('report')
    .description('read a folder of tracks and weather observations and write its report')
    .argument('<folder>', 'the folder with the tracks, the weather and, if there are any, runs.csv and campaign.yaml')
    .option(
      '--out <folder>',
      'where the report is written (default: <folder>/report); an earlier report is replaced, your own files in it stay',
    )
  withReportOptions(report)
    .option(
      '--photos',
      'show small copies of the photos of drives and fills in the page, without their time, place and other data',
    )
    .addHelpText('after', EXAMPLE)
    .exitOverride()
    .action(async (folder: string, options: ReportOptions) => {
      // Loaded here, so that --help and mistakes in the options answer at once.
      const { reportCommand } = await import('./report-command.ts')
      setExitCode(await reportCommand(folder, options, packageVersion()))
    })
  addFieldCommands(program, setExitCode)
  addPlanCommand(program, setExitCode)
  addBatchCommand(program, setExitCode)
  return program
}

/** `ceteris … | head` closes our output early: that is not an error. */
function leaveQuietlyWhenNobodyReads(): void {
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') return
    process.stderr.write(`ceteris: the result could not be written out: ${fileErrorReason(error)}\n`)
    process.exit(NOTHING_DONE)
  })
}
