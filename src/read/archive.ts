import { inflated } from '../base/platform.ts'
import type { Outcome, Problem } from '../base/problem.ts'
import { failed, found } from '../base/problem.ts'
import { LARGEST_BYTES } from './bytes.ts'
import { isZip, type ZipEntry, zipEntries } from './zip-directory.ts'

/** A file that was packed in an archive. */
export interface Member {
  /** With its folders in the archive. */
  name: string
  bytes: Uint8Array
}

/** More are not looked for: each is a file of its own in the report. */
const MOST_MEMBERS = 1000
const MEBIBYTE = 1024 * 1024

/** Whether a file is an archive that is unpacked: ZIP by its first bytes and by its name, which tells its parts apart. */
export const isArchive = (bytes: Uint8Array, name: string): boolean => isZip(bytes) && /\.(zip|kmz)$/i.test(name)

/**
 * The files in a ZIP archive, folders and what operating systems add left out, in the archive's order. All of them together may unpack to
 * no more than one file may have, whatever the archive says of itself.
 */
export function membersOf(bytes: Uint8Array): Outcome<Member[]> {
  const entries = zipEntries(bytes)
  if (entries === null) return failed(damaged)
  const files = entries.filter(({ name }) => !/(\/$)|(^|\/)(__MACOSX\/|\.)/.test(name))
  if (files.length === 0) return failed({ code: 'empty-file', message: 'the archive holds no file' })
  if (files.length > MOST_MEMBERS) return failed(tooMany(files.length))
  const problems: Problem[] = []
  const members: Member[] = []
  let left = LARGEST_BYTES
  for (const entry of files) {
    const unpacked = unpackedEntry(bytes, entry, left)
    if (unpacked === 'too-large') return failed(tooLarge)
    if (typeof unpacked === 'string') problems.push(unreadable(entry, unpacked))
    else {
      left -= unpacked.length
      members.push({ name: entry.name, bytes: unpacked })
    }
  }
  return members.length > 0 ? found(members, problems) : { value: null, problems }
}

function unpackedEntry(
  bytes: Uint8Array,
  { method, dataAt, packedBytes, statedBytes, isEncrypted }: ZipEntry,
  mostBytes: number,
): Uint8Array | 'too-large' | 'damaged' | 'encrypted' {
  if (isEncrypted) return 'encrypted'
  if (statedBytes > mostBytes) return 'too-large'
  const packed = bytes.subarray(dataAt, dataAt + packedBytes)
  if (packed.length < packedBytes || (method !== 0 && method !== 8)) return 'damaged'
  const plain = method === 0 ? packed : inflated(packed, Math.min(mostBytes, statedBytes + 1))
  if (plain === 'too-large') return statedBytes + 1 > mostBytes ? 'too-large' : 'damaged'
  return typeof plain === 'string' || plain.length !== statedBytes ? 'damaged' : plain
}

const damaged = {
  code: 'zip-damaged',
  message: 'this ZIP archive is damaged or cut off: its directory cannot be read',
  hint: 'Copy or download it again.',
}

const tooLarge = {
  code: 'file-too-large',
  message: `the archive unpacks to more than ${LARGEST_BYTES / MEBIBYTE} MiB, the most that can be read at once`,
  hint: 'Unpack it, and keep the files that are needed.',
}

const tooMany = (count: number) => ({
  code: 'file-too-large',
  message: `the archive holds ${count} files, expected at most ${MOST_MEMBERS}`,
  hint: 'Unpack it, and keep the files that are needed.',
})

function unreadable({ name }: ZipEntry, why: 'damaged' | 'encrypted'): Problem {
  const message =
    why === 'encrypted'
      ? `"${name.slice(0, 100)}" in this archive needs a password; it is not read`
      : `"${name.slice(0, 100)}" in this archive is damaged or packed in a way that is not known; it is not read`
  const hint = why === 'encrypted' ? 'Unpack it with its password.' : 'Copy or download the archive again.'
  return { code: why === 'encrypted' ? 'zip-encrypted' : 'zip-damaged', severity: 'error', message, hint }
}
