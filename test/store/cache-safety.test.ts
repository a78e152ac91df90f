import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import {
  chmodSync,
  existsSync,
  linkSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { keyOf } from '../../src/records/content-key.ts'
import { fromCache, intoCache, openCache } from '../../src/store/cache.ts'
import { clearUnfinished, trimCache } from '../../src/store/trim.ts'
import { ceterisIn, folderWith, STEADY_WEATHER, straightTrack } from '../cli/command.ts'
import { ANY, entriesIn, entryPath, opened } from './opened.ts'

let top = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-cache-safety-'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

const onPosix = process.platform !== 'win32'
const mode = (path: string): string => (statSync(path).mode & 0o777).toString(8)

describe('the folder of the cache', () => {
  it('is one of its own below the one that is named, and bears the tag that backup programs know', () => {
    mkdirSync(join(top, 'named'))
    writeFileSync(join(top, 'named/thesis.txt'), 'mine')
    const { folder } = opened(join(top, 'named'), '1')
    expect(folder).toBe(join(top, 'named/ceteris-cache-1'))
    // Source of the signature: Cache Directory Tagging Specification 0.6, bford.info/cachedir: the MD5 of ".IsCacheDirectory".
    const signature = `Signature: ${createHash('md5').update('.IsCacheDirectory').digest('hex')}`
    expect(readFileSync(join(folder, 'CACHEDIR.TAG'), 'utf8').slice(0, signature.length)).toBe(signature)
    expect(readdirSync(join(top, 'named'))).toEqual(['ceteris-cache-1', 'thesis.txt'])
  })

  it('is not taken where something else lies there: a folder with files, a link, a file', () => {
    for (const name of ['full', 'linked', 'taken']) mkdirSync(join(top, name))
    folderWith(join(top, 'full/ceteris-cache-1'), { 'mine.txt': 'mine' })
    mkdirSync(join(top, 'elsewhere'))
    symlinkSync(join(top, 'elsewhere'), join(top, 'linked/ceteris-cache-1'))
    writeFileSync(join(top, 'taken/ceteris-cache-1'), 'mine')
    for (const name of ['full', 'linked', 'taken']) expect(openCache(join(top, name), '1')).toBeNull()
    expect(readdirSync(join(top, 'full/ceteris-cache-1'))).toEqual(['mine.txt'])
    expect(readdirSync(join(top, 'elsewhere'))).toEqual([])
  })

  it('is taken again where its marker was only begun', () => {
    const { folder } = opened(join(top, 'begun'), '1')
    writeFileSync(join(folder, 'CACHEDIR.TAG'), 'Signature: 8a47')
    expect(openCache(join(top, 'begun'), '1')).not.toBeNull()
    writeFileSync(join(folder, 'CACHEDIR.TAG'), 'Signature: 8a477f597d28d172789f06886806bc55\n# of another program\n')
    expect(openCache(join(top, 'begun'), '1')).toBeNull()
  })

  it.runIf(onPosix)('and what is in it are for their owner’s eyes only, whatever the umask', () => {
    const before = process.umask(0)
    try {
      const cache = opened(join(top, 'private/deep'), '1')
      intoCache(cache, keyOf(cache, { name: 'drive' }, ['a']), 'value')
      expect(mode(cache.folder)).toBe('700')
      expect(readdirSync(cache.folder)).toHaveLength(2)
      for (const name of readdirSync(cache.folder)) expect(mode(join(cache.folder, name))).toBe('600')
      chmodSync(cache.folder, 0o755)
      expect(mode(opened(join(top, 'private/deep'), '1').folder)).toBe('700')
    } finally {
      process.umask(before)
    }
  })
})

describe('what is no entry of the cache', () => {
  it('is neither counted nor removed, however large the cache and however old the file', () => {
    const cache = opened(join(top, 'foreign'), '1')
    const keys = ['a', 'b', 'c'].map((name) => keyOf(cache, { name: 'drive' }, [name]))
    for (const key of keys) intoCache(cache, key, new Float64Array(1000))
    const large = 'x'.repeat(100_000)
    const foreign = [
      join(top, 'foreign/photo.jpg'),
      join(cache.folder, 'photo.jpg'),
      join(cache.folder, keyOf(cache, { name: 'drive' }, ['no ending'])),
      // Named as an entry and as a begun one, without their first bytes.
      entryPath(cache, keyOf(cache, { name: 'drive' }, ['no magic'])),
      join(cache.folder, `${keys[0]}.${cache.writer}-00112233aabbccdd.begun`),
      join(cache.folder, '00/of-an-earlier-version'),
    ]
    mkdirSync(join(cache.folder, '00'))
    for (const path of foreign) writeFileSync(path, large)
    // A link that leads to an old entry outside, by the name of one.
    const outside = join(top, 'outside.entry')
    linkSync(entryPath(cache, keys[0]), outside)
    const link = entryPath(cache, keyOf(cache, { name: 'drive' }, ['link']))
    symlinkSync(outside, link)
    spawnSync('touch', ['-h', '-d', '2 years ago', ...foreign, link])

    const bytes = keys.reduce((sum, key) => sum + statSync(entryPath(cache, key)).size, 0)
    clearUnfinished(cache)
    // So much the entries take: nothing is to go, though the files beside them take more.
    trimCache(cache, bytes, 0)
    expect(keys.filter((key) => fromCache(cache, ANY, key) === undefined)).toEqual([])
    // One byte less: all entries go, and nothing else.
    trimCache(cache, bytes - 1, 0)
    expect(keys.filter((key) => fromCache(cache, ANY, key) !== undefined)).toEqual([])
    for (const path of foreign) expect(readFileSync(path, 'utf8')).toBe(large)
    expect(lstatSync(link).isSymbolicLink()).toBe(true)
    expect(existsSync(outside)).toBe(true)
  })

  it.runIf(onPosix)('is not read in the place of one: a link to a sound entry, a pipe, a folder, a device', () => {
    const cache = opened(join(top, 'odd'), '1')
    const key = keyOf(cache, { name: 'drive' }, ['a'])
    intoCache(cache, key, 'value')
    expect(fromCache(cache, ANY, key)).toBe('value')
    const path = entryPath(cache, key)
    renameSync(path, join(top, 'sound.entry'))
    const before = statSync(join(top, 'sound.entry')).mtimeMs
    symlinkSync(join(top, 'sound.entry'), path)
    expect(fromCache(cache, ANY, key)).toBeUndefined()
    expect(statSync(join(top, 'sound.entry')).mtimeMs).toBe(before)
    rmSync(path)
    spawnSync('mkfifo', [path])
    expect(lstatSync(path).isFIFO()).toBe(true)
    expect(fromCache(cache, ANY, key)).toBeUndefined()
    // A value takes the place of the pipe: nobody waits for a reader.
    intoCache(cache, key, 'value')
    expect(fromCache(cache, ANY, key)).toBe('value')
    rmSync(path)
    symlinkSync('/dev/zero', path)
    expect(fromCache(cache, ANY, key)).toBeUndefined()
    rmSync(path)
    mkdirSync(path)
    expect(fromCache(cache, ANY, key)).toBeUndefined()
    intoCache(cache, key, 'value')
    expect(entriesIn(cache)).toEqual([path])
  })
})

describe('a cache inside the campaign folder', () => {
  it('is not read as input, in a report or in its watching', async () => {
    const folder = folderWith(join(top, 'campaign'), {
      'a.gpx': straightTrack('2024-05-03T08:00:00Z'),
      'b.gpx': straightTrack('2024-05-03T09:00:00Z'),
      'weather.csv': STEADY_WEATHER,
    })
    const quick = ['report', folder, '--cards', 'none', '--draws', '50', '--json']
    const env = { ...process.env, CETERIS_CACHE_DIR: join(folder, 'kept') }
    const report = (...more: string[]) => JSON.parse(ceterisIn({ env }, ...quick, ...more).stdout)
    report()
    expect(readdirSync(join(folder, 'kept/ceteris-cache-1')).length).toBeGreaterThan(3)
    const again = report('--seed', '2')
    expect(again.problems).toEqual([])
    expect(again.inputs.map(({ path }: { path: string }) => path)).toEqual(['a.gpx', 'b.gpx', 'weather.csv'])
    const { snapshotOf } = await import('../../src/watch/watch-files.ts')
    const watched = [...(await snapshotOf(folder, join(folder, 'report'))).keys()]
    expect(watched).toEqual(['a.gpx', 'b.gpx', 'weather.csv'].map((name) => join(folder, name)))
    const { listPath } = await import('../../src/files/folder.ts')
    const [entry] = readdirSync(join(folder, 'kept/ceteris-cache-1'))
    const listed = await listPath(folder, join(folder, 'kept/ceteris-cache-1', entry))
    expect(listed.passedOver).toBe('cache')
  })
})
