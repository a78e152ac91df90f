import { deflatedLength, gunzip } from '../base/platform.ts'
import type { Outcome, Problem } from '../base/problem.ts'
import { failed, found } from '../base/problem.ts'

const MAGIC = [0x1f, 0x8b, 0x08]

/** Whether there is a gzip member at the begin of the bytes. @source RFC 1952, 2.3.1 */
export const isGzip = (bytes: Uint8Array): boolean => MAGIC.every((byte, i) => bytes[i] === byte)

/**
 * Unpacks a gzip file. One that is cut off gives what it still holds, and one with other bytes behind its end what is
 * whole, each with a warning.
 * @param mostBytes unpacked; beyond that `tooLarge` is the answer
 */
export function unpackedGzip(
  packed: Uint8Array,
  mostBytes: number,
  tooLarge: Omit<Problem, 'severity'>,
): Outcome<Uint8Array> {
  const unpacked = gunzip(packed, mostBytes)
  if (unpacked === 'too-large') return failed(tooLarge)
  if (unpacked === 'damaged') return wholeMembers(packed, mostBytes) ?? failed(damaged)
  return found(unpacked.bytes, unpacked.isWhole ? [] : [cutOff(unpacked.bytes.length)])
}

const damaged = {
  code: 'gzip-damaged',
  message: 'the file begins like a gzip file but its content is damaged and cannot be unpacked',
  hint: 'Copy or download it again.',
}

const cutOff = (bytes: number): Problem => ({
  code: 'gzip-cut-off',
  severity: 'warning',
  message: `the gzip file ends too early; the ${bytes} bytes that could be unpacked are used`,
  hint: 'Copy or download it again.',
})

const restUnread = (end: number, rest: number, bytes: number): Problem => ({
  code: 'gzip-rest-unread',
  severity: 'warning',
  message: `the gzip data end at byte ${end}; the ${rest} bytes behind them are not read, the ${bytes} bytes unpacked are used`,
  hint: 'If something is missing, copy or download the file again.',
})

/** More are not looked for one by one: each costs some buffers. */
const MOST_MEMBERS = 1000

/** The members that are whole, from the first on; null where not even the first one is. */
function wholeMembers(packed: Uint8Array, mostBytes: number): Outcome<Uint8Array> | null {
  const whole: Uint8Array[] = []
  let at = 0
  let length = 0
  while (whole.length < MOST_MEMBERS && isGzip(packed.subarray(at))) {
    const end = memberEnd(packed, at)
    const member = end === null ? 'damaged' : gunzip(packed.subarray(at, end), mostBytes - length)
    if (end === null || typeof member === 'string' || !member.isWhole) break
    whole.push(member.bytes)
    length += member.bytes.length
    at = end
  }
  if (whole.length === 0) return null
  const bytes = new Uint8Array(length)
  let filled = 0
  for (const member of whole) {
    bytes.set(member, filled)
    filled += member.length
  }
  return found(bytes, [restUnread(at, packed.length - at, length)])
}

/** Check sum and length behind the deflated data. */
const TRAILER_BYTES = 8

/** Where the member ends that begins at a place; null where it does not. @source RFC 1952, 2.3 */
function memberEnd(packed: Uint8Array, at: number): number | null {
  const dataAt = headerEnd(packed, at)
  const length = deflatedLength(packed.subarray(dataAt))
  return length === null ? null : dataAt + length + TRAILER_BYTES
}

const FIXED_HEADER_BYTES = 10
const [HEADER_SUM, EXTRA, NAME, COMMENT] = [2, 4, 8, 16]

/** Where the header of a member ends: its fixed part, and the parts that its flags announce. */
function headerEnd(packed: Uint8Array, from: number): number {
  const flags = packed[from + 3]
  let at = from + FIXED_HEADER_BYTES
  if (flags & EXTRA) at += 2 + packed[at] + 256 * packed[at + 1]
  for (const text of [NAME, COMMENT]) {
    if (!(flags & text)) continue
    const end = packed.indexOf(0, at)
    if (end < 0) return packed.length
    at = end + 1
  }
  return flags & HEADER_SUM ? at + 2 : at
}
