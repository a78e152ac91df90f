import { createReadStream } from 'node:fs'
import type { Readable } from 'node:stream'
import type { Problem } from '../base/problem.ts'
import { firstOfEach } from '../read/many.ts'
import { readRecord } from '../records/batch-record.ts'
import type { FileRecord, RunResultRecord } from '../records/batch-schema.ts'
import { fileErrorReason, isFileError } from './file-errors.ts'

/** A line that is longer is no record; V8's strings end at twice this. */
export const MOST_LINE_BYTES = 256 * 2 ** 20

/** Of so many bad lines of a kind each is told. */
const MOST_OF_A_KIND = 20

/** All records of some files, and what was wrong with others. */
export interface Gathered {
  files: FileRecord[]
  runs: (RunResultRecord & { source: string; line: number })[]
  problems: Problem[]
}

/** Where a record stands. */
interface RecordPlace {
  file: string
  line: number
}

/**
 * Reads the records of files in the order given; what is no record, or stands there twice, is a problem with its line.
 * @param sources paths; `-`, or none, for standard input
 */
export async function gatherRecords(sources: string[], madeBy: string): Promise<Gathered> {
  const gathered: Gathered = { files: [], runs: [], problems: [] }
  const problems: Problem[] = []
  const places = new Map<string, RecordPlace & { sha256: string | null }>()
  for (const source of sources.length > 0 ? sources : ['-']) {
    const file = source === '-' ? 'standard input' : source
    try {
      for await (const { line, text } of linesOf(source === '-' ? process.stdin : createReadStream(source, CHUNKS))) {
        const outcome = text === null ? TOO_LONG : readRecord(text, madeBy)
        problems.push(...outcome.problems.map((problem) => ({ ...problem, file, line })))
        if (outcome.value?.what === 'run') gathered.runs.push({ ...outcome.value.body, source: file, line })
        else if (outcome.value) problems.push(...added(gathered.files, outcome.value.body, places, { file, line }))
      }
    } catch (error) {
      if (!isFileError(error)) throw error
      const message = `this cannot be read: ${fileErrorReason(error)}`
      problems.push({ code: 'record-file-unreadable', severity: 'error', message, file })
    }
  }
  gathered.problems = firstOfEach(problems, MOST_OF_A_KIND)
  return gathered
}

const CHUNKS = { highWaterMark: 2 ** 20 }

const TOO_LONG = {
  value: null,
  problems: [
    {
      code: 'record-unreadable',
      severity: 'error',
      message: `found a line of more than ${MOST_LINE_BYTES / 2 ** 20} MB, expected a record in each line`,
      hint: 'Make this record again.',
    } satisfies Problem,
  ],
}

/** Adds a file's record where it is the first of its path. */
function added(
  files: FileRecord[],
  record: FileRecord,
  places: Map<string, RecordPlace & { sha256: string | null }>,
  place: RecordPlace,
): Problem[] {
  const sha256 = record.mapped?.sha256 ?? null
  const first = places.get(record.path)
  if (!first) {
    places.set(record.path, { ...place, sha256 })
    files.push(record)
    return []
  }
  const where = `${first.file}, line ${first.line}`
  const same = first.sha256 === sha256
  return [
    {
      code: same ? 'record-twice' : 'record-conflict',
      severity: same ? 'warning' : 'error',
      message: same
        ? `found the record of ${record.path} a second time, after ${where}; it is counted once`
        : `found a record of ${record.path} with another content than in ${where}, expected one; the first is used`,
      ...(same ? {} : { hint: 'Leave out the record of the older file.' }),
      ...place,
    },
  ]
}

/** The lines of a stream that are not empty; null for one that is too long to be held. */
async function* linesOf(stream: Readable): AsyncGenerator<{ line: number; text: string | null }> {
  let line = 1
  let parts: Buffer[] = []
  let bytes = 0
  const take = (part: Buffer): void => {
    bytes += part.length
    if (bytes <= MOST_LINE_BYTES) parts.push(part)
    else parts = []
  }
  const text = (): string | null => (bytes > MOST_LINE_BYTES ? null : Buffer.concat(parts).toString('utf8'))
  for await (const chunk of stream as AsyncIterable<Buffer>) {
    let from = 0
    for (let end = chunk.indexOf(10); end >= 0; end = chunk.indexOf(10, from)) {
      take(chunk.subarray(from, end))
      const found = text()
      if (found === null || found.trim() !== '') yield { line, text: found }
      from = end + 1
      parts = []
      bytes = 0
      line++
    }
    take(chunk.subarray(from))
  }
  const rest = text()
  if (rest === null || rest.trim() !== '') yield { line, text: rest }
}
