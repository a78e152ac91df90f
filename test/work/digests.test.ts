import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { digestFiles } from '../../src/work/digests.ts'

const top = mkdtempSync(join(tmpdir(), 'ceteris-digests-'))
afterAll(() => rmSync(top, { recursive: true, force: true }))

describe('digests of files', () => {
  // FIPS 180-2, appendix B.1 and B.3 ("abc", a million times "a": larger than the pieces that are read); of nothing:
  // NIST CAVP, SHA256ShortMsg.rsp, Len = 0.
  const known: [text: string, sha256: string][] = [
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    ['a'.repeat(1_000_000), 'cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0'],
    ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
  ]
  const listed = known.map(([text], i) => {
    const absolutePath = join(top, String(i))
    writeFileSync(absolutePath, text)
    return { path: String(i), absolutePath, size: text.length }
  })
  const files = [...listed, { path: 'gone', absolutePath: join(top, 'gone'), size: 1 }]
  const wanted = [...known.map(([, sha256]) => sha256), '']

  it.each([0, 1, 3])(
    'are in the order of the files, and empty for one that is not there, with %i workers',
    async (threads) => {
      const done: string[] = []
      expect(await digestFiles(files, threads, ({ path }) => done.push(path), 0)).toEqual(wanted)
      expect(done.sort()).toEqual(['0', '1', '2', 'gone'])
    },
  )
})
