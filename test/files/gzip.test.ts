import { createHash } from 'node:crypto'
import { gunzipSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { gzipped } from '../../src/files/gzip.ts'

function* pieces(): Generator<string> {
  for (let i = 0; i < 60_000; i++) yield `a row of a table, number ${i}, with as many letters as usual\n`
}

describe('a content compressed in pieces', () => {
  const bytes = Buffer.concat([...gzipped(pieces())])

  it('is one file for every reader of gzip', () => {
    expect(gunzipSync(bytes).toString()).toBe([...pieces()].join(''))
    expect(bytes.length).toBeLessThan(0.2 * [...pieces()].join('').length)
  })

  it('names no time and no operating system, so that the same content gives the same bytes', () => {
    // RFC 1952, 2.3: identification, method 8, flags, four bytes of time, extra flags, operating system (255 unknown).
    expect([...bytes.subarray(0, 8), bytes[9]]).toEqual([31, 139, 8, 0, 0, 0, 0, 0, 255])
    const digest = (content: Iterable<Uint8Array>) =>
      createHash('sha256')
        .update(Buffer.concat([...content]))
        .digest('hex')
    expect(digest(gzipped(pieces()))).toBe(digest([bytes]))
  })
})
