import type { Command } from 'commander'
import type { ExitCode } from '../shell/exit-codes.ts'
import { helpEnd } from '../shell/help-text.ts'
import { partFrom } from '../shell/option-values.ts'
import { packageVersion } from '../shell/package-version.ts'
import type { MapOptions, PartOptions, ReduceOptions } from './batch-options.ts'
import { withJobs, withReportOptions, withRunOptions } from './report-options.ts'

const MAP_END = helpEnd(
  [
    [
      'ceteris batch map my-test --root my-test --out records.jsonl',
      'writes one record for each file of the folder my-test',
    ],
    [
      'ceteris batch map my-test --root my-test --part 1/2 --out records-1.jsonl',
      'the same for every second file, so that two machines share the files',
    ],
    [
      'ceteris batch map my-test/tracks/monday.gpx --root my-test > monday.jsonl',
      'the same for one file, as any machine can do it that sees this file alone',
    ],
  ],
  {
    0: 'done',
    1: 'done, with errors in some files (they are listed, and in the records)',
    2: 'nothing could be done: no file to map, or the records cannot be written',
  },
)

const RUN_END = helpEnd(
  [
    [
      'ceteris batch map my-test --root my-test | ceteris batch run --part 1/2 --draws 2000 --out runs-1.jsonl',
      'computes every second drive, so that two machines share the drives; give the same settings to batch reduce',
    ],
  ],
  {
    0: 'done',
    1: 'done, with errors in some records or inputs',
    2: 'nothing could be done: no records, or no drive in them',
  },
)

const REDUCE_END = helpEnd(
  [
    [
      'ceteris batch map my-test --root my-test | ceteris batch reduce --root my-test --out joined',
      'writes to the folder joined the report that ceteris report my-test would write, byte for byte',
    ],
  ],
  {
    0: 'done',
    1: 'done, with errors in some records or inputs (they are listed)',
    2: 'nothing could be done: no records, no drive in them, or the report cannot be written',
  },
)

const RECORDS = 'files of records, one in each line; - or none for standard input'
const ROOT_OF_RECORDS =
  'the folder that the records were made from: terrain tiles are read from it, and each of its files must have a record'

/** Adds the command `batch`: the steps of a report on their own, to be spread over machines. */
export function addBatchCommand(program: Command, setExitCode: (code: ExitCode) => void): void {
  const batch = program
    .command('batch')
    .description('the stages of a report one by one, for a scheduler that spreads them over machines')
    .exitOverride()
  batch
    .command('map')
    .description('read files into records, one for each file')
    .argument('<files...>', 'files of a campaign folder, or folders in it')
    .option('--root <folder>', 'the campaign folder, to which their paths are relative', '.')
    .option('--part <number/of>', 'only this share of the files, such as 3/8 (default: all)', partFrom)
    .option(
      '--out <file>',
      'where the records are written, as a whole; replaces records only (default: standard output)',
    )
    .addHelpText('after', MAP_END)
    .exitOverride()
    .action(async (files: string[], options: MapOptions) => {
      const { batchMap } = await import('./batch-map.ts')
      setExitCode(await batchMap(files, options, packageVersion()))
    })
  withJobs(
    withRunOptions(
      batch
        .command('run')
        .description('compute a part of the drives from the records of all files')
        .argument('[records...]', RECORDS)
        .requiredOption('--part <number/of>', 'which part of how many, such as 3/8', partFrom)
        .option('--root <folder>', ROOT_OF_RECORDS),
    ),
  )
    .option(
      '--out <file>',
      'where the records of the drives are written, as a whole; replaces records only (default: standard output)',
    )
    .addHelpText('after', RUN_END)
    .exitOverride()
    .action(async (records: string[], options: PartOptions) => {
      const { batchRun } = await import('./batch-run.ts')
      setExitCode(await batchRun(records, options, packageVersion()))
    })
  withReportOptions(
    batch
      .command('reduce')
      .description('write the report from the records of all files, and of drives where there are any')
      .argument('[records...]', RECORDS)
      .requiredOption(
        '--out <folder>',
        'where the report is written; an earlier report is replaced, your own files in it stay',
      )
      .option('--root <folder>', ROOT_OF_RECORDS),
  )
    .addHelpText('after', REDUCE_END)
    .exitOverride()
    .action(async (records: string[], options: ReduceOptions) => {
      const { batchReduce } = await import('./batch-reduce.ts')
      setExitCode(await batchReduce(records, options, packageVersion()))
    })
}
