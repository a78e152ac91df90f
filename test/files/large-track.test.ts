import { createHash } from 'node:crypto'
import { closeSync, mkdtempSync, openSync, readFileSync, rmSync, writeFileSync, writeSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { listFolder, readListed } from '../../src/files/folder.ts'
import { decodeText } from '../../src/read/bytes.ts'
import { readGpx } from '../../src/read/gpx/read.ts'
import { HEAD, pointText, START } from '../hostile/make.ts'

/** A point each half second, with an extension that makes it long: 135 MB, and 70,000 points. */
const COUNT = 70_000
const EXTRA = `<extensions><hr>${'9'.repeat(1815)}</hr></extensions></trkpt>\n`
const folder = mkdtempSync(join(tmpdir(), 'ceteris-large-'))
const path = join(folder, 'large.gpx')

beforeAll(() => {
  const file = openSync(path, 'w')
  writeSync(file, `${HEAD}<trk><trkseg>`)
  for (let i = 0; i < COUNT; i += 1000) {
    const points = Array.from({ length: 1000 }, (_, k) => {
      const time = new Date(START + (i + k) * 500).toISOString()
      const lat = (52 + (i + k) / 1e4).toFixed(7)
      return pointText({ lat, lon: '5', ele: '3', time }).replace('</trkpt>', EXTRA)
    })
    writeSync(file, points.join(''))
  }
  writeSync(file, '</trkseg></trk></gpx>')
  closeSync(file)
})

afterAll(() => rmSync(folder, { recursive: true }))

describe('a track that is larger than what is read whole', () => {
  it.each([
    ['plain', 'large.gpx'],
    ['packed', 'packed.gpx.gz'],
  ])('%s: the whole drive is read with fewer points, and a warning says so', async (_, name) => {
    if (name.endsWith('.gz')) writeFileSync(join(folder, name), gzipSync(readFileSync(path), { level: 1 }))
    const { value } = await readListed({ path: name, absolutePath: join(folder, name) })
    expect(value!.sha256).toBe(
      createHash('sha256')
        .update(readFileSync(join(folder, name)))
        .digest('hex'),
    )

    const times = readGpx(decodeText(value!.bytes).value!.text).value!.tracks[0].time
    // 139 MB are more than once 90 MB, so every second point is kept, and the last.
    expect([...times.slice(0, 3)]).toEqual([0, 1, 2].map((s) => START / 1000 + s))
    expect(times).toHaveLength(COUNT / 2 + 1)
    expect(times.at(-1)).toBe(START / 1000 + (COUNT - 1) / 2)

    const { problems } = mapFile(value!)
    expect(problems.map(({ code, severity }) => [code, severity])).toContainEqual(['points-thinned', 'warning'])
    const { message } = problems.find(({ code }) => code === 'points-thinned')!
    expect(message).toContain(`${COUNT} points`)
    expect(message).toContain(
      `one in 2 of each segment is used, its first and last among them, ${COUNT / 2 + 1} in all`,
    )
  })

  it('one of points with a prefix, which are not thinned, is refused and not taken in whole', async () => {
    const prefixed = join(folder, 'prefixed.gpx')
    const file = openSync(prefixed, 'w')
    const block = '<g:trkpt lat="1" lon="2"><g:time>2024-05-03T08:00:00Z</g:time></g:trkpt>\n'.repeat(14_000)
    writeSync(file, HEAD.replace('<gpx', '<g:gpx').replace('xmlns', 'xmlns:g'))
    for (let i = 0; i < 280; i++) writeSync(file, block)
    closeSync(file)
    const { value, problems } = await readListed({ path: 'prefixed.gpx', absolutePath: prefixed })
    rmSync(prefixed)
    expect(value).toBeNull()
    expect(problems).toMatchObject([{ code: 'file-too-large', severity: 'error', file: 'prefixed.gpx' }])
  })

  it('other large files are listed or refused as before', async () => {
    const other = join(folder, 'other')
    writeFileSync(other, '')
    const file = openSync(other, 'w')
    // A hole of 300 MB.
    writeSync(file, 'x', 300 * 2 ** 20)
    closeSync(file)
    const { listed, problems } = await listFolder(folder)
    expect(listed.map(({ path: name }) => name)).toContain('large.gpx')
    expect(listed.map(({ path: name }) => name)).not.toContain('other')
    expect(problems).toMatchObject([{ code: 'file-too-large', file: 'other' }])
  })
})
