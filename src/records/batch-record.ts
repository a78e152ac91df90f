import { jsonText } from '../base/json-text.ts'
import { sha256, toHex } from '../base/platform.ts'
import { failed, found, type Outcome } from '../base/problem.ts'
import type { WholeFile } from '../campaign/load/map-file.ts'
import { driveAlone, wholeDrive } from '../campaign/load/mapped-drive.ts'
import { type BareFile, type FileRecord, fileBody, type RunResultRecord, runBody } from './batch-schema.ts'
import { fromJson, toJson } from './column-json.ts'

/** The form of a line; another form has another name. */
export const RECORD_SCHEMA = 'ceteris-record/1'

export type BatchRecord = { what: 'file'; body: FileRecord } | { what: 'run'; body: RunResultRecord }

/**
 * A record as one line of JSON, without the line's end.
 * @param madeBy names the program and its version: results of another may differ
 */
export function recordLine({ what, body }: BatchRecord, madeBy: string): string {
  const text = toJson(what === 'file' ? { ...body, mapped: body.mapped && bare(body.mapped) } : body)
  const head = { schema: RECORD_SCHEMA, made_by: madeBy, sha256: digest(text), what }
  return `${jsonText(head).slice(0, -1)},"body":${text}}`
}

const bare = (file: WholeFile): BareFile => ({
  ...file,
  tracks: file.tracks.map((track) => ({ ...track, drive: track.drive && driveAlone(track.drive) })),
})

const mappedAgain = (file: BareFile): WholeFile => ({
  ...file,
  tracks: file.tracks.map((track) => ({ ...track, drive: track.drive && wholeDrive(track.drive) })),
})

const digest = (text: string): string => toHex(sha256(text))

/**
 * Reads a line that `recordLine` wrote. Its digest tells a damaged record from a whole one; it is no signature: whoever
 * can write records can write the report.
 */
export function readRecord(line: string, madeBy: string): Outcome<BatchRecord> {
  const outer = parsed(line)
  if (outer === undefined) {
    const message = line.startsWith('{"schema":"ceteris-record/')
      ? `found a record that is cut off after ${line.length} characters, or two in one line; expected one whole record in each line`
      : `found text that is no JSON (it begins with "${line.slice(0, 30)}"), expected a record in each line`
    return failed({ code: 'record-unreadable', message, hint: AGAIN })
  }
  const { schema, made_by, sha256, what, body } = (outer ?? {}) as Record<string, unknown>
  if (schema !== RECORD_SCHEMA) {
    const message = `found ${schema === undefined ? 'no schema' : `the schema ${shown(schema)}`}, expected "${RECORD_SCHEMA}"`
    return failed({ code: 'record-schema', message, hint: 'Give files that ceteris batch wrote, and nothing else.' })
  }
  if (made_by !== madeBy) {
    const message = `found a record made by ${shown(made_by)}, expected "${madeBy}": results of another version may differ`
    return failed({ code: 'record-version', message, hint: 'Map the file again with this version of the program.' })
  }
  const record = whole(body, sha256) ? bodyOf(what, body) : null
  if (record) return found(record)
  const message = 'found a record whose content does not fit its own digest, expected it as it was written'
  return failed({ code: 'record-damaged', message, hint: AGAIN })
}

const AGAIN = 'Make this record again.'

const shown = (value: unknown): string => JSON.stringify(value)?.slice(0, 120) ?? 'nothing'

/** undefined where it is no JSON. */
function parsed(line: string): unknown {
  try {
    return JSON.parse(line)
  } catch (error) {
    if (error instanceof SyntaxError) return undefined
    throw error
  }
}

/** Written again the body is the text it was: numbers and names have one form. */
function whole(body: unknown, sha256: unknown): boolean {
  try {
    return body !== undefined && digest(jsonText(body)) === sha256
  } catch (error) {
    // Nested deeper than a record ever is.
    if (error instanceof RangeError) return false
    throw error
  }
}

function bodyOf(what: unknown, body: unknown): BatchRecord | null {
  try {
    const value = fromJson(body)
    if (what === 'file') {
      const { data } = fileBody.safeParse(value)
      return data ? { what, body: { ...data, mapped: data.mapped && mappedAgain(data.mapped) } } : null
    }
    return what === 'run' && runBody.safeParse(value).success ? { what, body: value as RunResultRecord } : null
  } catch (error) {
    if (error instanceof TypeError) return null
    throw error
  }
}
