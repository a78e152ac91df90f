import { resolve } from 'node:path'
import { cleaned } from '../base/names.ts'
import { present } from '../base/present.ts'
import { failed, type Problem } from '../base/problem.ts'
import { listPath } from '../files/folder.ts'
import { fileRefusal, RECORDS, writeRecords } from '../files/own-file.ts'
import { MOST_LINE_BYTES } from '../files/record-files.ts'
import { recordLine } from '../records/batch-record.ts'
import type { FileRecord } from '../records/batch-schema.ts'
import { DONE, DONE_WITH_ERRORS, type ExitCode } from '../shell/exit-codes.ts'
import { refuse } from '../shell/refusal.ts'
import { programName } from '../store/program-name.ts'
import { folderRefusal, sayProblem } from '../work/campaign-folder.ts'
import { mapListed } from '../work/map-files.ts'
import type { MapOptions, Part } from './batch-options.ts'

/** The command `batch map`: each file on its own, one record out for each. */
export async function batchMap(paths: string[], options: MapOptions, version: string): Promise<ExitCode> {
  const root = resolve(options.root)
  const wrong = await folderRefusal(root, options.root)
  if (wrong) return refuse(wrong, false)
  const unwritable = options.out === undefined ? null : await fileRefusal(options.out, RECORDS, paths)
  if (unwritable) return refuse(unwritable, false)
  const madeBy = programName(version)
  let records = 0
  let errors = 0
  const lines = async function* (): AsyncGenerator<string> {
    for await (const record of recordsOf(root, paths, options.part ?? { number: 1, of: 1 })) {
      records++
      const found = errorsOf(record)
      errors += found.length
      for (const problem of found) sayProblem({ file: record.path, ...problem })
      yield lineOf(record, madeBy)
    }
  }
  const unwritten = await writeRecords(lines(), options.out, paths)
  if (unwritten) return refuse(unwritten, false)
  if (records === 0 && !options.part) return refuse('there is no file to map', false)
  return errors > 0 ? DONE_WITH_ERRORS : DONE
}

/** One record for each file of the part, and for each that would have been one but for a problem; each path once. */
async function* recordsOf(root: string, paths: string[], part: Part): AsyncGenerator<FileRecord> {
  const done = new Set<string>()
  const isMine = (path: string): boolean => {
    if (done.has(path)) return false
    done.add(path)
    return (done.size - 1) % part.of === part.number - 1
  }
  for (const path of paths) {
    const listing = await listPath(root, path)
    if (listing.passedOver) {
      sayProblem({ code: 'passed-over', severity: 'note', file: path, message: PASSED_OVER[listing.passedOver] })
      continue
    }
    const byPath = new Map<string, Problem[]>()
    for (const problem of listing.problems) {
      byPath.set(present(problem.file), [...(byPath.get(present(problem.file)) ?? []), problem])
    }
    for (const [file, problems] of byPath) if (isMine(file)) yield { path: file, mapped: null, problems }
    for (const file of listing.listed) {
      if (!isMine(file.path)) continue
      const { mapped, problems } = await mapListed(file)
      if (mapped.length === 0) yield { path: file.path, mapped: null, problems }
      for (const [i, part] of mapped.entries())
        yield { path: part.path, mapped: part, problems: i === 0 ? problems : [] }
    }
  }
}

const PASSED_OVER = {
  outside: 'this does not lie in the campaign folder, and was not mapped; name that folder with --root',
  hidden: 'this is a hidden file, which a report does not read; it was not mapped',
  report: 'this belongs to a report, and was not mapped',
  cache: 'this belongs to the cache of ceteris, and was not mapped',
}

const errorsOf = ({ mapped, problems }: FileRecord): Problem[] =>
  [...problems, ...(mapped?.problems ?? []), ...(mapped?.tracks ?? []).flatMap((t) => t.problems)].filter(
    ({ severity }) => severity === 'error',
  )

/** A record that no machine could read back is none. */
function lineOf(record: FileRecord, madeBy: string): string {
  const line = recordLine({ what: 'file', body: record }, madeBy)
  if (Buffer.byteLength(line) <= MOST_LINE_BYTES) return line
  const { problems } = failed({
    code: 'file-too-large',
    message: `its record would have ${Math.round(line.length / 2 ** 20)} MB, expected at most ${MOST_LINE_BYTES / 2 ** 20} MB`,
    hint: 'Give this folder to ceteris report, on one machine.',
    file: cleaned(record.path),
  })
  return recordLine({ what: 'file', body: { path: record.path, mapped: null, problems } }, madeBy)
}
