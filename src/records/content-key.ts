import { sha256, toHex } from '../base/platform.ts'
import { toJson } from './column-json.ts'

/**
 * The key of a result: a digest of all that it depends on.
 * @param version of who makes it: another program's results are not this one's
 */
export const keyOf = ({ version }: { version: string }, kind: { name: string }, parts: readonly unknown[]): string =>
  toHex(sha256(`${version}\n${kind.name}\n${parts.map(digestOf).join('')}`))

const digests = new WeakMap<object, string>()

/**
 * A digest of plain data and columns; that of one object is made once. Not of their form in the engine's memory: that of
 * a number depends on how it came about, and a value read back from a cache would not be the one that was put there.
 */
export function digestOf(value: unknown): string {
  const isObject = typeof value === 'object' && value !== null
  const known = isObject ? digests.get(value) : undefined
  if (known !== undefined) return known
  const digest = toHex(sha256(toJson([value])))
  if (isObject) digests.set(value, digest)
  return digest
}
