import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import type { Remember } from '../../src/base/remember.ts'
import { type CampaignWork, workHere } from '../../src/campaign/campaign-input.ts'
import { MAPPED_FILE, MOTION } from '../../src/campaign/kept/drive-shape.ts'
import { MATCH } from '../../src/campaign/kept/match-shape.ts'
import { RUN_RESULT } from '../../src/campaign/kept/run-shape.ts'
import { WEATHER } from '../../src/campaign/kept/weather-shape.ts'
import { motionsIn, withoutMotions } from '../../src/campaign/load/drive-source.ts'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { reduceCampaign } from '../../src/campaign/run-campaign.ts'
import { digestOf, keyOf } from '../../src/records/content-key.ts'
import { COVERAGE_BINS } from '../../src/road/types.ts'
import { fromCache, intoCache, rememberIn } from '../../src/store/cache.ts'
import { DEFAULTS, folderFiles } from '../campaign/folder.ts'
import { entryPath, opened } from './opened.ts'

const top = mkdtempSync(join(tmpdir(), 'ceteris-remember-'))
afterAll(() => rmSync(top, { recursive: true, force: true }))

const never = (): never => {
  throw new Error('was made again')
}
const MATCHED = {
  axisM: Float64Array.of(0, 60, Number.NaN),
  coveredShare: 0.5,
  onRoadShare: 0.6,
  covered: new Uint8Array(COVERAGE_BINS),
  detours: [{ fromM: 1, toM: 2 }],
  beforeM: 3,
  againM: 0,
  afterM: 4,
}

describe('what is remembered', () => {
  it('is made once for the same parts, and again for others, another kind or another program', () => {
    const cache = opened(join(top, 'parts'), '1')
    const remember = rememberIn(cache)
    expect(remember(MATCH, ['a', { on: 'b' }], () => MATCHED)).toEqual(MATCHED)
    expect(remember(MATCH, ['a', { on: 'b' }], never)).toEqual(MATCHED)
    let made = 0
    const again = () => {
      made++
      return { ...MATCHED, beforeM: 99 }
    }
    for (const parts of [['a', { on: 'c' }], ['a', '{"on":"b"}'], ['a'], [{ on: 'b' }, 'a']])
      expect(remember(MATCH, parts, again).beforeM).toBe(99)
    rememberIn(opened(join(top, 'parts'), '2'))(MATCH, ['a', { on: 'b' }], again)
    expect(made).toBe(5)
    expect(keyOf(cache, MATCH, ['a'])).not.toBe(keyOf(cache, WEATHER, ['a']))
  })

  it('is made again where an entry, sound in itself, has another shape than its kind', () => {
    const cache = opened(join(top, 'forged'), '1')
    const forged: [string, unknown][] = [
      ['a member is missing', { ...MATCHED, axisM: undefined }],
      ['a member is of another type', { ...MATCHED, axisM: [0, 60] }],
      ['a member too many', { ...MATCHED, more: 1 }],
      ['too few bins', { ...MATCHED, covered: new Uint8Array(2) }],
      ['no record', 'text'],
      ['nothing', null],
    ]
    for (const [what, value] of forged) {
      const key = keyOf(cache, MATCH, [what])
      // As the program itself would write it: with the right key and digest.
      intoCache(cache, key, value)
      expect(fromCache(cache, MATCH, key), what).toBeUndefined()
      expect(rememberIn(cache)(MATCH, [what], () => MATCHED)).toEqual(MATCHED)
      expect(rememberIn(cache)(MATCH, [what], never)).toEqual(MATCHED)
    }
    writeFileSync(entryPath(cache, keyOf(cache, MATCH, ['nothing'])), '')
    expect(rememberIn(cache)(MATCH, ['nothing'], () => MATCHED)).toEqual(MATCHED)
  })

  it('has, of every kind and for a whole campaign, the shape of its kind, and the same digest when it comes back', async () => {
    const cache = opened(join(top, 'campaign'), '1')
    const files = folderFiles('samples/ladder-van', (name) => /04-14|weather|yaml|runs.csv/.test(name))
    const mapped = files.map(mapFile)
    for (const [i, file] of mapped.entries()) {
      const key = keyOf(cache, MAPPED_FILE, [i])
      intoCache(cache, key, withoutMotions(file))
      expect(digestOf(fromCache(cache, MAPPED_FILE, key))).toBe(digestOf(withoutMotions(file)))
      for (const { drive } of file.tracks) expect(MOTION.shape.safeParse(drive?.motion).success).toBe(true)
    }
    const kinds = new Set<string>()
    const checked: Remember = (kind, parts, make) => {
      const value = make()
      const key = keyOf(cache, kind, parts)
      intoCache(cache, key, value)
      const back = fromCache(cache, kind, key)
      expect(back, kind.name).toBeDefined()
      expect(digestOf(back)).toBe(digestOf(value))
      kinds.add(kind.name)
      return value
    }
    const here = workHere(mapped)
    const work: CampaignWork = {
      motions: motionsIn(mapped),
      remember: checked,
      computeRuns: async (setting, tasks) =>
        (await here.computeRuns(setting, tasks)).map((result) => checked(RUN_RESULT, [result.run.id], () => result)),
    }
    const input = { files, unreadable: [], settings: DEFAULTS, version: 'test' }
    const { report } = await reduceCampaign(mapped, input, work)
    expect(report.runs.length).toBeGreaterThan(1)
    expect(kinds).toEqual(new Set([WEATHER, MATCH, RUN_RESULT].map(({ name }) => name)))
  }, 60_000)
})
