import { spawn, spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { keyOf } from '../../src/records/content-key.ts'
import { fromCache, intoCache, openCache } from '../../src/store/cache.ts'
import { cacheFolder } from '../../src/store/cache-folder.ts'
import { clearUnfinished, trimCache } from '../../src/store/trim.ts'
import { ceterisIn, folderWith, STEADY_WEATHER, shortCampaign, straightTrack } from '../cli/command.ts'
import { ANY, entriesIn, entryPath, opened } from './opened.ts'

let top = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-cache-'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

/** Whether an entry of the cache holds a file's drives without their motions. */
const isDrives = (path: string): boolean => readFileSync(path, 'latin1').includes('pathElevationM')

const entriesOf = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))

describe('an entry of the cache', () => {
  const value = {
    name: 'a',
    nothing: Number.NaN,
    column: Float64Array.of(1, Number.NaN, -0),
    inner: { rows: [1, null] },
  }

  it('comes back as it was, columns and NaN included', () => {
    const cache = opened(join(top, 'whole'), '1')
    const key = keyOf(cache, { name: 'drive' }, ['abc'])
    expect(fromCache(cache, ANY, key)).toBeUndefined()
    intoCache(cache, key, value)
    expect(fromCache(cache, ANY, key)).toEqual(value)
  })

  it('has another key for another input, other borders between inputs, another kind and another program', () => {
    const cache = opened(join(top, 'keys'), '1')
    const keys = [
      keyOf(cache, { name: 'drive' }, ['ab', 'c']),
      keyOf(cache, { name: 'drive' }, ['ab', 'd']),
      keyOf(cache, { name: 'drive' }, ['a', 'bc']),
      keyOf(cache, { name: 'run' }, ['ab', 'c']),
      keyOf(opened(join(top, 'keys'), '2'), { name: 'drive' }, ['ab', 'c']),
    ]
    expect(new Set(keys).size).toBe(keys.length)
  })

  it('is not believed when a byte of it is changed, when it is cut off, empty, or lies under another key', () => {
    const cache = opened(join(top, 'damaged'), '1')
    const [key, other] = [keyOf(cache, { name: 'drive' }, ['abc']), keyOf(cache, { name: 'drive' }, ['xyz'])]
    intoCache(cache, key, value)
    intoCache(cache, other, { name: 'b' })
    const pathOf = (k: string): string => entryPath(cache, k)
    const whole = readFileSync(pathOf(key))
    for (const at of [0, 20, 60, whole.length - 1]) {
      const damaged = Buffer.from(whole)
      damaged[at] ^= 1
      writeFileSync(pathOf(key), damaged)
      expect(fromCache(cache, ANY, key)).toBeUndefined()
    }
    for (const foreign of [whole.subarray(0, 100), Buffer.alloc(0), readFileSync(pathOf(other))]) {
      writeFileSync(pathOf(key), foreign)
      expect(fromCache(cache, ANY, key)).toBeUndefined()
    }
    writeFileSync(pathOf(key), whole)
    expect(fromCache(cache, ANY, key)).toEqual(value)
  })

  it('is thrown out, longest unused first, where the cache is too large', () => {
    const cache = opened(join(top, 'large'), '1')
    const keys = ['a', 'b', 'c', 'd'].map((name) => keyOf(cache, { name: 'drive' }, [name]))
    for (const key of keys) intoCache(cache, key, new Float64Array(1000))
    const size = entriesIn(cache).reduce((sum, path) => sum + statSync(path).size, 0)
    // The first is used once more, later than all others were written.
    const later = Date.now() / 1000 + 10
    expect(fromCache(cache, ANY, keys[0])).toBeInstanceOf(Float64Array)
    spawnSync('touch', ['-d', `@${later}`, entryPath(cache, keys[0])])
    trimCache(cache, size - 1, size / 2)
    const kept = keys.filter((key) => fromCache(cache, ANY, key) !== undefined)
    expect(kept).toHaveLength(2)
    expect(kept).toContain(keys[0])
    rmSync(cache.folder, { recursive: true })
    trimCache(cache)
  })

  it('that was never finished is cleared away: this call’s own at once, what others left after an hour', () => {
    const cache = opened(join(top, 'unfinished'), '1')
    const key = keyOf(cache, { name: 'drive' }, ['a'])
    intoCache(cache, key, value)
    const [whole] = entriesIn(cache)
    const begun = (writer: string): string => join(cache.folder, `${key}.${writer}-00112233aabbccdd.begun`)
    const [own, old, young] = [cache.writer, '1'.repeat(16), '2'.repeat(16)].map(begun)
    for (const path of [own, old, young]) writeFileSync(path, 'ceteris-')
    spawnSync('touch', ['-d', '2 hours ago', old, whole])
    clearUnfinished(cache)
    expect(entriesIn(cache).sort()).toEqual([whole, old, young].sort())
    trimCache(cache)
    expect(entriesIn(cache).sort()).toEqual([whole, young].sort())
  })

  it('is left out where the cache cannot be written to', () => {
    writeFileSync(join(top, 'a-file'), '')
    expect(openCache(join(top, 'a-file'), '1')).toBeNull()
  })

  it('lies in the folder named, or where the system keeps caches', () => {
    expect(cacheFolder({ CETERIS_CACHE_DIR: '/c' }, 'linux')).toBe('/c')
    expect(cacheFolder({ XDG_CACHE_HOME: '/x' }, 'linux')).toBe('/x/ceteris')
    expect(cacheFolder({}, 'darwin')).toMatch(/Library\/Caches\/ceteris$/)
  })
})

describe('reports with a cache', () => {
  const program = join(import.meta.dirname, '../../bin/ceteris.js')
  const environment = (cache: string): NodeJS.ProcessEnv => ({ ...process.env, CETERIS_CACHE_DIR: join(top, cache) })
  const campaign = (name: string): string => {
    const folder = join(top, name)
    const source = join(import.meta.dirname, '../../samples/ladder-van')
    cpSync(source, folder, {
      recursive: true,
      filter: (path) => !/\/report$|04-(15|16|17|21|23)|runs\.csv$/.test(path),
    })
    return folder
  }
  const report = (folder: string, cache: string, ...more: string[]): Record<string, string> => {
    const words = ['report', folder, '--cards', 'none', '--draws', '50', ...more]
    const { status, stderr } = ceterisIn({ env: environment(cache) }, ...words)
    if (status === 2 || status === null) throw new Error(stderr)
    const out = join(folder, 'report')
    return Object.fromEntries(entriesOf(out).map((path) => [path.slice(out.length), readFileSync(path, 'utf8')]))
  }

  it('have the same bytes as without, also after a change of a file, of a setting, and of the entries themselves', () => {
    const folder = shortCampaign(join(top, 'bytes'))
    const without = report(folder, 'none', '--no-cache')
    expect(readdirSync(top)).not.toContain('none')
    expect(report(folder, 'bytes-cache')).toEqual(without)
    rmSync(join(folder, 'report'), { recursive: true })
    expect(report(folder, 'bytes-cache')).toEqual(without)

    for (const path of entriesOf(join(top, 'bytes-cache')).filter((path) => path.endsWith('.entry'))) {
      const bytes = readFileSync(path)
      bytes[bytes.length - 9] ^= 4
      writeFileSync(path, bytes)
    }
    expect(report(folder, 'bytes-cache', '--jobs', '1')).toEqual(without)

    const seeded = report(folder, 'bytes-cache', '--seed', '2')
    expect(seeded['/report.json']).not.toBe(without['/report.json'])
    expect(report(folder, 'none', '--no-cache', '--seed', '2')).toEqual(seeded)

    const yaml = readFileSync(join(folder, 'campaign.yaml'), 'utf8')
    writeFileSync(join(folder, 'campaign.yaml'), `${yaml}title: Renamed\n`)
    const renamed = report(folder, 'bytes-cache')
    expect(renamed['/report.json']).toContain('"title": "Renamed"')
    expect(report(folder, 'none', '--no-cache')).toEqual(renamed)
  })

  it('have the same bytes as without when of many runs one is added, one changed and one removed', () => {
    const track = (i: number): string =>
      straightTrack(new Date(Date.UTC(2024, 4, 3, 8, i)).toISOString(), 150 + (i % 7))
    const files = Object.fromEntries(Array.from({ length: 42 }, (_, i) => [`run-${i}.gpx`, track(i)]))
    const folder = folderWith(join(top, 'many'), { ...files, 'weather.csv': STEADY_WEATHER })
    const first = report(folder, 'many-cache')
    expect(first['/pairs.csv'].split('\n')).toHaveLength(1 + (42 * 41) / 2 + 1)

    writeFileSync(join(folder, 'run-42.gpx'), track(42))
    const added = report(folder, 'many-cache')
    expect(added).toEqual(report(folder, 'none', '--no-cache'))
    expect(added['/pairs.csv'].split('\n')).toHaveLength(1 + (43 * 42) / 2 + 1)

    rmSync(join(folder, 'run-30.gpx'))
    writeFileSync(join(folder, 'run-3.gpx'), track(3).replaceAll('lon="5"', 'lon="5.0001"'))
    expect(report(folder, 'many-cache')).toEqual(report(folder, 'none', '--no-cache'))

    // Neither size nor time of the file tell that it was changed, while another one is added.
    const old = statSync(join(folder, 'run-5.gpx'))
    writeFileSync(join(folder, 'run-5.gpx'), track(5).replaceAll('<ele>3</ele>', '<ele>9</ele>'))
    utimesSync(join(folder, 'run-5.gpx'), old.atime, old.mtime)
    writeFileSync(join(folder, 'run-43.gpx'), track(43))
    const changed = report(folder, 'many-cache')
    expect(statSync(join(folder, 'run-5.gpx')).size).toBe(old.size)
    expect(changed['/report.json']).toContain(
      createHash('sha256')
        .update(readFileSync(join(folder, 'run-5.gpx')))
        .digest('hex'),
    )
    expect(changed).toEqual(report(folder, 'none', '--no-cache'))

    // Of what is taken from the cache for the files that are as before, every second entry is damaged.
    for (const [i, path] of entriesOf(join(top, 'many-cache'))
      .filter((path) => path.endsWith('.entry'))
      .sort()
      .entries()) {
      const bytes = readFileSync(path)
      bytes[bytes.length - 9] ^= 4
      if (i % 2 === 0) writeFileSync(path, bytes)
    }
    writeFileSync(join(folder, 'run-44.gpx'), track(44))
    expect(report(folder, 'many-cache')).toEqual(report(folder, 'none', '--no-cache'))
  })

  it('have the same bytes as without when what they left in the cache for later was lost', () => {
    const folder = campaign('lost')
    report(folder, 'lost-cache')
    const sizes = entriesOf(join(top, 'lost-cache')).map((path) => ({ path, size: statSync(path).size }))
    // The motions are the largest entries but for the runs on their axes, which a changed seed makes useless.
    const large = sizes.filter(({ size }) => size > 50_000)
    expect(large.length).toBeGreaterThan(3)
    const settings = ['--seed', '2']
    const wanted = report(folder, 'none', '--no-cache', ...settings)
    for (const { path } of large.filter(({ path }) => !isDrives(path))) writeFileSync(path, 'lost')
    expect(report(folder, 'lost-cache', ...settings)).toEqual(wanted)
  })

  it('are written anew when a file of theirs is gone', () => {
    const folder = shortCampaign(join(top, 'touched'))
    const first = report(folder, 'touched-cache')
    rmSync(join(folder, 'report/runs.csv'))
    expect(report(folder, 'touched-cache')).toEqual(first)
  })

  it('are right from two processes at once', async () => {
    const [one, two] = ['one', 'two'].map((name) => shortCampaign(join(top, name, 'campaign')))
    const start = (folder: string): Promise<number | null> =>
      new Promise((resolve) => {
        const args = [program, 'report', folder, '--cards', 'none', '--quiet']
        spawn(process.execPath, args, { env: environment('shared') }).on('exit', resolve)
      })
    expect(await Promise.all([start(one), start(two)])).toEqual([0, 0])
    const text = (folder: string): string => readFileSync(join(folder, 'report/report.json'), 'utf8')
    expect(text(one)).toBe(text(two))
    expect(entriesOf(join(top, 'shared')).filter((path) => path.endsWith('.begun'))).toEqual([])
  })
})
