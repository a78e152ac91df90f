import type { Outcome, Problem } from '../../base/problem.ts'
import { failed, found } from '../../base/problem.ts'
import { LARGEST_BYTES } from '../bytes.ts'
import { isZip, unpackedBytes, type ZipEntry, zipEntries } from '../zip-directory.ts'
import { type Sheet, sheetsWithText } from './sheet-text.ts'

export type { Sheet } from './sheet-text.ts'

const MEBIBYTE = 1024 * 1024
const OLE = [0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1]
const startsWith = (bytes: Uint8Array, magic: number[]): boolean => magic.every((byte, i) => bytes[i] === byte)
const has = (entries: readonly ZipEntry[], name: RegExp): boolean => entries.some((entry) => name.test(entry.name))

/** Whether a file is a workbook of some spreadsheet program, be it one that is read or one that is refused. */
export function isWorkbook(bytes: Uint8Array, name: string): boolean {
  if (startsWith(bytes, OLE)) return true
  if (!isZip(bytes)) return false
  const entries = zipEntries(bytes)
  if (entries === null) return /\.(xls[xmb]|ods|numbers)$/i.test(name)
  return has(entries, /^xl\//) || has(entries, /^Index\/.*\.iwa$|^Index\.zip$/) || isOpenDocument(bytes, entries)
}

/** The media type stands stored and first in such an archive. @source OASIS OpenDocument 1.3, part 2, 3.3 */
function isOpenDocument(bytes: Uint8Array, entries: readonly ZipEntry[]): boolean {
  const entry = entries.find(({ name, method }) => name === 'mimetype' && method === 0)
  if (!entry) return false
  const type = new TextDecoder().decode(bytes.subarray(entry.dataAt, entry.dataAt + entry.packedBytes))
  return type.startsWith('application/vnd.oasis.opendocument.spreadsheet')
}

/**
 * Reads the sheets of a workbook (.xlsx, .xlsm, .ods) as texts, a line for each row. Only values are taken: of a formula
 * the one that was saved with it; nothing is computed and nothing that it refers to is opened. The archive is unpacked
 * once before, to a bound, because it may say of itself whatever it likes.
 */
export async function readWorkbook(bytes: Uint8Array): Promise<Outcome<Sheet[]>> {
  if (startsWith(bytes, OLE)) return failed(oleProblem(bytes))
  const entries = zipEntries(bytes)
  if (entries === null) return failed(damaged)
  if (has(entries, /\.iwa$|^Index\.zip$/)) return failed(otherKind('a workbook of Numbers'))
  if (has(entries, /^xl\/workbook\.bin$/)) return failed(otherKind('a binary workbook (.xlsb)'))
  if (entries.some(({ isEncrypted }) => isEncrypted) || hasEncryptedParts(bytes, entries)) return failed(withPassword)
  const size = unpackedBytes(bytes, entries, LARGEST_BYTES)
  if (size === 'damaged') return failed(damaged)
  if (size === 'too-large') return failed(tooLarge)
  // Loaded where a workbook is met, and not before: it takes a third of a second.
  const { read } = await import('@e965/xlsx')
  try {
    // What is shown tells a percentage of an .ods from another number.
    const book = read(bytes, { ...READ, cellText: isOpenDocument(bytes, entries) })
    const problems: Problem[] = []
    const sheets = sheetsWithText(book, problems)
    return found(sheets, problems)
  } catch (error) {
    // What the library throws on a broken workbook has no type of its own.
    if (error instanceof Error) return failed(damaged)
    throw error
  }
}

/** A row more than a table may have: the reader of tables then says so. */
const MOST_ROWS = 400_002

const READ = {
  type: 'array',
  dense: true,
  sheetRows: MOST_ROWS,
  cellDates: true,
  UTC: true,
  cellNF: true,
  cellFormula: true,
  cellHTML: false,
  // Without it formulas that have no value are left out.
  sheetStubs: true,
} as const

/** @source OASIS OpenDocument 1.3, part 2, 3.4.1: the manifest names what is encrypted */
function hasEncryptedParts(bytes: Uint8Array, entries: readonly ZipEntry[]): boolean {
  const manifest = entries.find(({ name }) => name === 'META-INF/manifest.xml')
  if (manifest?.method !== 0) return has(entries, /^encrypted-package$/)
  const text = new TextDecoder().decode(bytes.subarray(manifest.dataAt, manifest.dataAt + manifest.packedBytes))
  return text.includes('encryption-data')
}

const SAVE_AS = 'Open it in the spreadsheet program and save it as .xlsx, .ods or CSV.'

/** An .xlsx with a password lies in a file of the older kind. @source Microsoft, [MS-OFFCRYPTO] 2.3.4 */
function oleProblem(bytes: Uint8Array): Omit<Problem, 'severity'> {
  const wide = [...'EncryptedPackage'].flatMap((character) => [character.charCodeAt(0), 0])
  return indexOf(bytes, wide) >= 0 ? withPassword : otherKind('an older workbook (.xls) or document')
}

function indexOf(bytes: Uint8Array, wanted: number[]): number {
  for (let at = bytes.indexOf(wanted[0]); at >= 0; at = bytes.indexOf(wanted[0], at + 1)) {
    if (wanted.every((byte, i) => bytes[at + i] === byte)) return at
  }
  return -1
}

const otherKind = (what: string): Omit<Problem, 'severity'> => ({
  code: 'workbook-other-kind',
  message: `this is ${what}, expected .xlsx, .ods or CSV; it is not read`,
  hint: SAVE_AS,
})

const withPassword: Omit<Problem, 'severity'> = {
  code: 'workbook-password',
  message: 'this workbook is protected by a password, and cannot be read',
  hint: 'Open it in the spreadsheet program and save it without a password.',
}

const damaged: Omit<Problem, 'severity'> = {
  code: 'workbook-damaged',
  message: 'this workbook is damaged or cut off, and cannot be read',
  hint: 'Copy it again; or open it in the spreadsheet program, let that repair it, and save it.',
}

const tooLarge: Omit<Problem, 'severity'> = {
  code: 'file-too-large',
  message: `this workbook unpacks to more than ${LARGEST_BYTES / MEBIBYTE} MiB, the most that can be read at once`,
  hint: 'Keep the days of the drives, and leave out the others.',
}
