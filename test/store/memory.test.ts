import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import type { MappedFile } from '../../src/campaign/load/map-file.ts'
import type { Run } from '../../src/campaign/load/runs.ts'
import type { Match } from '../../src/road/types.ts'
import { memoryIn } from '../../src/store/memory.ts'
import { entriesIn, opened } from './opened.ts'

const top = mkdtempSync(join(tmpdir(), 'ceteris-memory-'))
afterAll(() => rmSync(top, { recursive: true, force: true }))

const MATCH: Match = {
  axisM: Float64Array.of(0, 60, Number.NaN),
  coveredShare: 0.5,
  onRoadShare: 0.6,
  covered: Uint8Array.of(1, 0),
  detours: [{ fromM: 1, toM: 2 }],
  beforeM: 3,
  afterM: 4,
}
const run = (source: string): Run => ({ source }) as Run
const never = (): never => {
  throw new Error('was asked again')
}

describe('the memory of a report', () => {
  it('brings a match back whole, its axis too', () => {
    const cache = opened(join(top, 'matches'), '1')
    const first = memoryIn(cache, 'report')
    expect(first.match(run('a'), run('b'), () => MATCH)).toEqual(MATCH)
    first.keepMatches()
    const again = memoryIn(cache, 'report').match(run('a'), run('b'), never)
    expect({ ...again }).toEqual(MATCH)
    expect(structuredClone(again)).toEqual(MATCH)
  })

  it('finds an axis out again that is no longer in the cache', () => {
    const cache = opened(join(top, 'lost'), '1')
    const first = memoryIn(cache, 'report')
    first.match(run('a'), run('b'), () => MATCH)
    for (const path of entriesIn(cache)) rmSync(path)
    first.keepMatches()
    let asked = 0
    const again = memoryIn(cache, 'report').match(run('a'), run('b'), () => {
      asked++
      return MATCH
    })
    expect(again.coveredShare).toBe(MATCH.coveredShare)
    expect(asked).toBe(0)
    expect(again.axisM).toEqual(MATCH.axisM)
    expect(asked).toBe(1)
  })

  it('knows a match by both contents only, whichever report it was made for', () => {
    const cache = opened(join(top, 'contents'), '1')
    memoryIn(cache, 'report').match(run('a'), run('b'), () => MATCH)
    const other = { ...MATCH, beforeM: 99 }
    expect(memoryIn(cache, 'other').match(run('b'), run('a'), () => other).beforeM).toBe(99)
    expect(memoryIn(cache, 'other').match(run('a'), run('b'), never)).toEqual(MATCH)
  })

  it('reads weather again where its time zone, its name or, of undated reports, the drives are others', () => {
    const cache = opened(join(top, 'weather'), '1')
    const { weather } = memoryIn(cache, 'report')
    const context = { timeZone: null, fileName: 'w.txt', coverFrom: 1, coverTo: 2, coverSpans: [{ from: 1, to: 2 }] }
    const later = { ...context, coverTo: 9, coverSpans: [{ from: 1, to: 9 }] }
    let reads = 0
    const read = () => {
      reads++
      return { value: null, problems: [] }
    }
    const file = (kind: MappedFile['kind'], sha256 = 'abc'): MappedFile => ({ kind, sha256 }) as MappedFile
    weather(file('metar'), context, read)
    weather(file('observation-table'), context, read)
    expect(reads).toBe(2)
    weather(file('metar'), context, never)
    weather(file('observation-table'), later, never)
    weather(file('metar'), later, read)
    weather(file('metar'), { ...context, timeZone: 'Europe/Zurich' }, read)
    weather(file('metar'), { ...context, fileName: 'v.txt' }, read)
    weather(file('metar', 'xyz'), context, read)
    expect(reads).toBe(6)
  })
})
