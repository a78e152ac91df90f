import { isUtf8 } from '../base/platform.ts'
import type { Outcome, Problem } from '../base/problem.ts'
import { failed, found } from '../base/problem.ts'
import { isGzip, unpackedGzip } from './gzip.ts'

export interface DecodedText {
  /** Without byte order mark. */
  text: string
  /** Label of the WHATWG Encoding Standard, lower case: `utf-8`, `utf-16le`, `windows-1252` … */
  encoding: string
}

const MEBIBYTE = 1024 * 1024

/** The largest file, packed or unpacked: what is larger is a film or a disk image, and it takes memory up to three times, as bytes and as text. */
export const LARGEST_BYTES = 256 * MEBIBYTE

/**
 * Turns the bytes of a file into text: gzip is unpacked; the encoding is told by a byte order mark, by the pattern of
 * NUL bytes (UTF-16), by an XML declaration, and else is UTF-8. What is not UTF-8 though it should be is replaced by
 * U+FFFD and counted, or, in a file without a single valid UTF-8 sequence, read as Windows-1252.
 * @source WHATWG Encoding Standard, https://encoding.spec.whatwg.org; XML 1.0 (5th ed.), appendix F
 */
export function decodeText(bytes: Uint8Array): Outcome<DecodedText> {
  if (bytes.length === 0) {
    return failed({ code: 'empty-file', message: 'the file is empty: it holds not a single byte' })
  }
  const unpacked = isGzip(bytes) ? unpackedGzip(bytes, LARGEST_BYTES, tooLarge('unpacks to')) : found(bytes)
  const plain = unpacked.value
  if (plain === null) return { value: null, problems: unpacked.problems }
  if (plain.length > LARGEST_BYTES) return failed(tooLarge('holds'), unpacked.problems)
  if (plain.length === 0) {
    return failed({ code: 'empty-file', message: 'the compressed file holds nothing' }, unpacked.problems)
  }
  if (startsWith(plain, [0x50, 0x4b, 0x03, 0x04])) return failed(zipArchive, unpacked.problems)
  const decoded = decode(plain)
  return { value: decoded.value, problems: [...unpacked.problems, ...decoded.problems] }
}

const zipArchive = {
  code: 'zip-archive',
  message: 'this is a ZIP archive (a .kmz or .zip file), expected a text file or a gzip of one',
  hint: 'Unpack it into the folder.',
}

const tooLarge = (verb: string) => ({
  code: 'file-too-large',
  message: `the file ${verb} more than ${LARGEST_BYTES / MEBIBYTE} MiB, the most that can be read at once`,
  hint: 'Split it into smaller files.',
})

const startsWith = (bytes: Uint8Array, magic: number[]): boolean => magic.every((byte, i) => bytes[i] === byte)

function decode(bytes: Uint8Array): Outcome<DecodedText> {
  if (startsWith(bytes, [0xef, 0xbb, 0xbf])) return decodeUtf8(bytes)
  const wide = utf16Label(bytes)
  if (wide !== null) return found({ text: new TextDecoder(wide).decode(bytes), encoding: wide }, halfCharacter(bytes))
  const declared = declaredEncoding(bytes)
  // A file that can be searched for ASCII is not UTF-16, whatever it says of itself.
  if (declared === null || /^(utf-?8|us-ascii|ascii|utf-?16.*|ucs-?2|iso-10646-ucs-2)$/.test(declared)) {
    return decodeUtf8(bytes)
  }
  try {
    const { encoding } = new TextDecoder(declared)
    return found({ text: decodeLegacy(bytes, encoding), encoding })
  } catch (error) {
    if (!(error instanceof RangeError)) throw error
    const decoded = decodeUtf8(bytes)
    return { value: decoded.value, problems: [unknownEncoding(declared), ...decoded.problems] }
  }
}

/** Characters 80 to 9F of Windows-1252. @source WHATWG Encoding Standard, index-windows-1252.txt */
const WINDOWS_1252_80_TO_9F =
  '\u20ac\x81\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\x8d\u017d\x8f' +
  '\x90\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153\x9d\u017e\u0178'

/** Node 20 decodes Windows-1252 as if it were ISO-8859-1; what it leaves as control characters is put right here. */
function decodeLegacy(bytes: Uint8Array, encoding: string): string {
  const text = new TextDecoder(encoding).decode(bytes)
  if (encoding !== 'windows-1252') return text
  return text.replace(/[\x80-\x9f]/g, (control) => WINDOWS_1252_80_TO_9F[control.charCodeAt(0) - 0x80])
}

function unknownEncoding(label: string): Problem {
  const message = `the XML declaration names the encoding "${label}", which is not known; the file is read as UTF-8`
  return { code: 'encoding-unknown', severity: 'warning', message, line: 1 }
}

/** `utf-16le` or `utf-16be` where a byte order mark or NULs in every other byte say so, else null. */
function utf16Label(bytes: Uint8Array): string | null {
  if (startsWith(bytes, [0xff, 0xfe])) return 'utf-16le'
  if (startsWith(bytes, [0xfe, 0xff])) return 'utf-16be'
  const pairs = Math.min(bytes.length >> 1, 128)
  let high = 0
  let low = 0
  for (let i = 0; i < pairs; i++) {
    if (bytes[2 * i] === 0) high++
    if (bytes[2 * i + 1] === 0) low++
  }
  if (pairs < 2) return null
  if (low > pairs * 0.7 && high < pairs * 0.1) return 'utf-16le'
  return high > pairs * 0.7 && low < pairs * 0.1 ? 'utf-16be' : null
}

function halfCharacter(bytes: Uint8Array): Problem[] {
  if (bytes.length % 2 === 0) return []
  const message = 'the UTF-16 text has an odd number of bytes: its last character is cut off'
  return [{ code: 'text-damaged', severity: 'warning', message }]
}

function declaredEncoding(bytes: Uint8Array): string | null {
  const head = String.fromCharCode(...bytes.subarray(0, 256))
  const declaration = /^\s*<\?xml\s[^>]*?\bencoding\s*=\s*["']([\w.:-]+)["']/.exec(head)
  return declaration === null ? null : declaration[1].toLowerCase()
}

function decodeUtf8(bytes: Uint8Array): Outcome<DecodedText> {
  const text = new TextDecoder('utf-8').decode(bytes)
  if (isUtf8(bytes)) return found({ text, encoding: 'utf-8' })
  if (/[^\0-\x7f\ufffd]/.test(text)) {
    const replaced = text.split('\ufffd').length - 1
    return found({ text, encoding: 'utf-8' }, [
      damaged('text-damaged', `${count(replaced)} not valid UTF-8 and replaced by the sign "\ufffd"`, lineOf(text)),
    ])
  }
  const strange = bytes.reduce((sum, byte) => (byte > 0x7f ? sum + 1 : sum), 0)
  return found({ text: decodeLegacy(bytes, 'windows-1252'), encoding: 'windows-1252' }, [
    damaged('encoding-guessed', `${count(strange)} not UTF-8; the file is read as Windows-1252`, lineOf(text)),
  ])
}

const count = (characters: number): string => `${characters} ${characters === 1 ? 'character is' : 'characters are'}`

const lineOf = (text: string): number => text.slice(0, text.indexOf('\ufffd')).split('\n').length

function damaged(code: string, message: string, line: number): Problem {
  return { code, severity: 'warning', message, line, hint: 'Save the file as UTF-8 if names in it look wrong.' }
}
