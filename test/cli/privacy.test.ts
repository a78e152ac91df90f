import { mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gunzipSync } from 'node:zlib'
import { parquetReadObjects } from 'hyparquet'
import { beforeAll, describe, expect, it } from 'vitest'
import type { Doing } from '../simulator/day.ts'
import { DAY_START, exampleDay, GATE, HOME, LAPS, WHOLE_DAY } from '../simulator/example-days.ts'
import { ceteris } from './command.ts'

/** Metres from a place, on a flat map (0.5 % at 500 m). */
const metres = (place: { lat: number; lon: number }, lat: number, lon: number): number =>
  111_200 * Math.hypot(lat - place.lat, (lon - place.lon) * Math.cos((place.lat * Math.PI) / 180))

const filesBelow = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))

/** All numbers of a file with three decimals or more in their order, NaN between two that no separator alone parts. */
async function numbersIn(path: string): Promise<number[]> {
  const bytes = readFileSync(path)
  if (path.endsWith('.parquet')) {
    const { buffer, byteOffset, byteLength } = bytes
    const rows = await parquetReadObjects({ file: buffer.slice(byteOffset, byteOffset + byteLength) as ArrayBuffer })
    return rows.flatMap((row) => [Number(row.latitude), Number(row.longitude), Number.NaN])
  }
  const text = (path.endsWith('.gz') ? gunzipSync(bytes) : bytes).toString('latin1')
  let end = 0
  return [...text.matchAll(/-?\d{1,3}\.\d{3,}/g)].flatMap((match) => {
    const isNext = /^[\s,;]*$/.test(text.slice(end, match.index))
    end = match.index + match[0].length
    return isNext ? [Number(match[0])] : [Number.NaN, Number(match[0])]
  })
}

/** The least distance of two neighbouring numbers, read as a position either way round, from a place, m. */
async function nearest(path: string, place: { lat: number; lon: number }): Promise<number> {
  const numbers = await numbersIn(path)
  return numbers.reduce((least, number, i) => {
    const next = numbers[i + 1] ?? Number.NaN
    const both = [metres(place, number, next), metres(place, next, number)].filter(Number.isFinite)
    return Math.min(least, ...both)
  }, Number.POSITIVE_INFINITY)
}

/** Numbers that stand in columns: whether any two of a file, in any order, are the place to 11 m. */
async function names(path: string, { lat, lon }: { lat: number; lon: number }): Promise<boolean> {
  const numbers = await numbersIn(path)
  const holds = (wanted: number): boolean => numbers.some((number) => Math.abs(number - wanted) < 1e-4)
  return holds(lat) && holds(lon)
}

function reportOn(yaml: string, day: Doing[]): string {
  const folder = mkdtempSync(join(tmpdir(), 'ceteris-privacy-'))
  writeFileSync(join(folder, 'day.gpx'), exampleDay(day).gpx)
  writeFileSync(join(folder, 'campaign.yaml'), yaml)
  writeFileSync(
    join(folder, 'weather.csv'),
    `time,station,lat,lon,elevation_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg\n${Array.from(
      { length: 12 },
      (_, i) => `${new Date((DAY_START + 3600 * i - 3600) * 1000).toISOString()},S,47,8,400,15,60,960,2,270`,
    ).join('\n')}\n`,
  )
  const { status, stderr } = ceteris('report', folder, '--points', 'csv,geojson,parquet', '--no-cache', '--draws', '50')
  expect([status, stderr]).toEqual([0, expect.anything()])
  return join(folder, 'report')
}

describe('a day file that begins and ends at home', () => {
  let [hidden, shown] = ['', '']
  beforeAll(() => {
    hidden = reportOn('title: day\n', WHOLE_DAY)
    shown = reportOn('title: day\nprivate_ends_radius_m: 0\n', WHOLE_DAY)
  })

  it('names home in no file, and says that it was left out', async () => {
    const files = filesBelow(hidden)
    expect(files.filter((path) => path.endsWith('.png')).length).toBeGreaterThan(0)
    for (const path of files) {
      expect([path, await nearest(path, HOME)]).toEqual([path, expect.toSatisfy((m: number) => m > 497)])
      expect([path, await names(path, HOME)]).toEqual([path, false])
    }
    const { problems } = JSON.parse(readFileSync(join(hidden, 'report.json'), 'utf8'))
    expect(problems.map(({ code }: { code: string }) => code)).toContain('private-ends')
    expect(readFileSync(join(hidden, 'report.md'), 'utf8')).toMatch(/left out of maps, outlines and points files/)
  })

  it('shows the road, which begins elsewhere', async () => {
    const distances = await Promise.all(filesBelow(hidden).map((path) => nearest(path, GATE)))
    expect(Math.min(...distances)).toBeLessThan(60)
  })

  it('of a day whose ends are to be shown nothing is said', () => {
    const { problems } = JSON.parse(readFileSync(join(shown, 'report.json'), 'utf8'))
    expect(problems.map(({ code }: { code: string }) => code)).not.toContain('private-ends')
  })
})

describe('laps that begin where the recording does', () => {
  it('are shown, unless the place is stated', async () => {
    const [all, some] = ['', `private:\n  home: { lat: ${GATE.lat}, lon: ${GATE.lon} }\n`].map((yaml) =>
      reportOn(`title: laps\n${yaml}`, LAPS(3)),
    )
    const least = async (folder: string): Promise<number> =>
      Math.min(...(await Promise.all(filesBelow(folder).map((path) => nearest(path, GATE)))))
    expect(await least(all)).toBeLessThan(60)
    for (const path of filesBelow(some))
      expect([path, await nearest(path, GATE)]).toEqual([path, expect.toSatisfy((m: number) => m > 497)])
  })
})
