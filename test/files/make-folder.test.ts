import { existsSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { makeFolder } from '../../src/files/make-folder.ts'

const place = mkdtempSync(join(tmpdir(), 'ceteris-make-folder-'))
afterAll(() => rmSync(place, { recursive: true }))

describe('makeFolder', () => {
  it('makes what is missing, and leaves what is there', () => {
    makeFolder(join(place, 'a/b/c'), 0o700)
    makeFolder(join(place, 'a/b/c'), 0o700)
    expect(statSync(join(place, 'a/b/c')).isDirectory()).toBe(true)
  })

  it('says so where a file is in the way', () => {
    writeFileSync(join(place, 'file'), 'mine')
    expect(() => makeFolder(join(place, 'file/x'))).toThrow(/ENOTDIR|EEXIST/)
  })

  // Node's own recursive form does not end there (seen with Node 20.20).
  it.runIf(existsSync('/proc/1'))('ends where nothing can be made', () => {
    expect(() => makeFolder('/proc/1/ceteris/x')).toThrow(/ENOENT|EACCES|EPERM/)
  })
})
