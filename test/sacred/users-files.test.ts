import { lstatSync, mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { treeOf } from '../tools/tree.ts'
import { COMMANDS, call, copyOf, harmDone, isOurs, PLACES, usersFolder } from './users-folder.ts'

/** Some dozens in the tests; CETERIS_SACRED=1000 in `npm run test:sacred`. */
const CALLS = Number(process.env.CETERIS_SACRED ?? 24)

let top = ''
let original = ''
let before: Record<string, string> = {}
let ours: (path: string) => boolean = () => false
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-sacred-'))
  original = usersFolder(join(top, 'original/home'))
  before = treeOf(original)
  ours = isOurs(original)
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

let copies = 0
const freshCopy = (): string => copyOf(original, join(top, `home-${copies++}`))

const aCall = fc.record({
  command: fc.constantFrom(...COMMANDS),
  place: fc.constantFrom(...PLACES),
  cache: fc.constantFrom('photos', 'my-test', '../cache'),
})

describe('the user’s files', () => {
  it(`are as they were after any ${CALLS} calls, whatever place is named for what is written`, () => {
    const ended: Record<string, number> = {}
    fc.assert(
      fc.property(fc.array(aCall, { minLength: 1, maxLength: 3 }), (calls) => {
        const folder = freshCopy()
        for (const { command, place, cache } of calls) {
          const words = command.place === null ? command.words : [...command.words, command.place, place]
          const paths = Object.keys(treeOf(folder))
          const { status, stderr } = call(folder, words, join(folder, cache))
          ended[String(status)] = (ended[String(status)] ?? 0) + 1
          expect({ words, harm: harmDone(before, folder, ours) }).toEqual({ words, harm: [] })
          expect(stderr).not.toContain('fault of the program')
          expect([0, 1, 2]).toContain(status)
          expect(leftIn(folder)).toEqual([])
          // What is refused leaves nothing new either.
          if (status === 2) expect({ words, new: newIn(folder, paths) }).toEqual({ words, new: [] })
        }
        expect(lstatSync('/dev/null').isCharacterDevice()).toBe(true)
        rmSync(folder, { recursive: true })
      }),
      { numRuns: Math.ceil(CALLS / 2), endOnFailure: true, seed: Number(process.env.CETERIS_SEED ?? 1) },
    )
    // Both what may be written and what may not has been tried.
    expect(ended['2']).toBeGreaterThan(0)
    expect((ended['0'] ?? 0) + (ended['1'] ?? 0)).toBeGreaterThan(0)
  }, 3_600_000)
})

/** Hidden folders of the program that are still there; one in the original is the user's own. */
const leftIn = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((path) =>
    /\.ceteris-writing-(?!mine)[^/]*$/.test(path),
  )

const newIn = (folder: string, paths: string[]): string[] =>
  Object.keys(treeOf(folder)).filter((path) => !paths.includes(path) && !path.includes('ceteris-cache-1'))
