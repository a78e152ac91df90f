import { readFileSync, writeFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { kindOf } from '../../src/read/kind.ts'
import { readTracks, TRACK_KINDS } from '../../src/read/tracks/read.ts'
import { TRACK_READERS } from '../../src/read/tracks/readers.ts'
import { WEATHER_KINDS } from '../../src/read/weather/read.ts'
import { WEATHER_READERS } from '../../src/read/weather/readers.ts'

const PAGE = new URL('../../docs/files.md', import.meta.url)

// `CETERIS_WRITE_DOCS=1 npx vitest run test/read/formats.test.ts` writes the lines.
it.each([
  { of: 'tracks', readers: TRACK_READERS, kinds: TRACK_KINDS },
  { of: 'weather', readers: WEATHER_READERS, kinds: WEATHER_KINDS },
])(
  'the formats of $of in docs/files.md are those of the registered readers, in their words',
  ({ of, readers, kinds }) => {
    const block = new RegExp(`(<!-- formats of ${of}: .*? -->\\n)([\\s\\S]*?)(<!-- end of formats -->)`)
    const lines = readers.map(({ format: { name, holds } }) => `- **${name}**: ${holds}\n`).join('')
    const page = readFileSync(PAGE, 'utf8')
    const isUpdate = process.env.CETERIS_WRITE_DOCS === '1'
    if (isUpdate)
      writeFileSync(
        PAGE,
        page.replace(block, (_, begin, _old, end) => `${begin}${lines}${end}`),
      )
    expect(block.exec(isUpdate ? readFileSync(PAGE, 'utf8') : page)?.[2]).toBe(lines)
    expect(new Set(kinds).size).toBe(readers.length)
  },
)

it('docs/files.md has an example of a log that is read as it says', () => {
  const [, example] = /```csv\n(# start[\s\S]*?)```/.exec(readFileSync(PAGE, 'utf8')) ?? []
  expect(kindOf(example)).toBe('csv-log')
  const { value, problems } = readTracks('csv-log', { text: example, bytes: new Uint8Array() })
  expect(problems).toEqual([])
  const [track] = value?.tracks ?? []
  expect(Array.from(track.time)).toEqual([0, 1, 2].map((s) => Date.UTC(2025, 5, 29, 21, 9, 36) / 1000 + s))
  // 34° 11.28809′ and 117° 25.75793′ west by hand; 1932 ft and 9 mph by the exact factors of NIST SP 811.
  expect(track.latitude[0]).toBeCloseTo(34 + 11.28809 / 60, 12)
  expect(track.longitude[0]).toBeCloseTo(-(117 + 25.75793 / 60), 12)
  expect(track.elevation[0]).toBeCloseTo(1932 * 0.3048, 9)
  expect(track.logged.speedMps?.values[2]).toBeCloseTo(9 * 0.44704, 12)
  expect(track.logged.fuelRateLps?.values[2]).toBeCloseTo(4 / 3600, 12)
  expect(track.logged.ambientTemperatureK?.values[0]).toBeCloseTo((77.9 - 32) / 1.8 + 273.15, 9)
})
