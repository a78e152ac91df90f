import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parquetMetadata, parquetReadObjects } from 'hyparquet'
import { beforeAll, describe, expect, it } from 'vitest'
import { type WorkingState, workingStateOf } from '../../src/campaign/computed-campaign.ts'
import { drivesFrom, motionsIn } from '../../src/campaign/load/drive-source.ts'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { pointsOf } from '../../src/campaign/pairs/points.ts'
import { pointsCsv } from '../../src/report/points/csv.ts'
import { pointsGeoJson } from '../../src/report/points/geojson.ts'
import { pointsParquet } from '../../src/report/points/parquet.ts'
import { POINT_COLUMNS, type RunPoints } from '../../src/report/points/points.ts'
import { folderFiles } from '../campaign/folder.ts'
import { ceteris, shortCampaign } from '../cli/command.ts'

const WANTED = /(a-ladders|0-23-ladders|21-bare)\.gpx$|weather\/|campaign\.yaml$|runs\.csv$/

let state: WorkingState
let all: RunPoints[]
beforeAll(async () => {
  const files = folderFiles('samples/ladder-van', (path) => WANTED.test(path))
  const mapped = files.map(mapFile)
  const drives = drivesFrom(motionsIn(mapped))
  state = await workingStateOf(mapped, files, { draws: 50, seed: 1 })
  all = state.records.map((record, i) => pointsOf(record.run, drives(record.run), state.roads.contexts[i], state))
})

const sum = (values: Iterable<number>): number => [...values].reduce((total, value) => total + value, 0)

describe('points of a drive', () => {
  it('add up to what the report says of it: demand, distance, headwind', () => {
    expect(all.length).toBeGreaterThanOrEqual(2)
    for (const [i, { columns }] of all.entries()) {
      const { demand, wind, steps } = state.records[i]
      const distanceM = sum(columns.step_m)
      expect(distanceM).toBeCloseTo(sum(steps.distanceM), 6)
      expect(sum(columns.demand_j) / distanceM / demand!.nominalJPerM).toBeCloseTo(1, 9)
      const headwindMps = sum(columns.headwind_mps.map((mps, row) => mps * columns.step_m[row])) / distanceM
      expect(headwindMps).toBeCloseTo(wind.headwindMps, 9)
    }
  })

  it('have air speed and yaw of the triangle of speed, headwind and crosswind', () => {
    const { columns } = all[0]
    for (let row = 0; row < columns.time.length; row += 97) {
      const along = columns.speed_mps[row] + columns.headwind_mps[row]
      expect(columns.airspeed_mps[row]).toBeCloseTo(Math.hypot(along, columns.crosswind_mps[row]), 9)
      expect(Math.tan((columns.yaw_deg[row] * Math.PI) / 180) * along).toBeCloseTo(columns.crosswind_mps[row], 9)
    }
  })

  it('say the same in all three forms, as other readers read them', async () => {
    const [points] = all
    const rows = points.columns.time.length
    const [header, ...lines] = [...pointsCsv(points)].join('').trimEnd().split('\r\n')
    expect(header.split(',')).toEqual(POINT_COLUMNS)
    expect(lines).toHaveLength(rows)

    const geoJson = JSON.parse([...pointsGeoJson(points)].join(''))
    expect(geoJson.features).toHaveLength(rows)

    const bytes = pointsParquet(points)
    const file = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer
    expect(Number(parquetMetadata(file).num_rows)).toBe(rows)
    const table = await parquetReadObjects({ file })

    for (const row of [0, 1, rows >> 1, rows - 1]) {
      const cells = lines[row].split(',')
      const { geometry, properties } = geoJson.features[row]
      const place: Record<string, number> = { longitude: geometry.coordinates[0], latitude: geometry.coordinates[1] }
      for (const [c, column] of POINT_COLUMNS.entries()) {
        if (column === 'time') {
          expect(properties.time).toBe(cells[c])
          expect((table[row].time as Date).toISOString()).toBe(cells[c])
          continue
        }
        const value = cells[c] === '' ? null : Number(cells[c])
        expect(place[column] ?? properties[column]).toBe(value)
        expect(table[row][column] ?? null).toBe(value)
      }
    }
  })

  it('leave empty what is not known', () => {
    const points: RunPoints = {
      run: 'x',
      columns: Object.fromEntries(
        POINT_COLUMNS.map((column) => [column, Float64Array.of(Number.NaN)]),
      ) as RunPoints['columns'],
    }
    points.columns.time[0] = 1e9
    points.columns.latitude[0] = 52
    points.columns.longitude[0] = 5
    expect([...pointsCsv(points)][1]).toBe(`2001-09-09T01:46:40.000Z,52,5${','.repeat(POINT_COLUMNS.length - 3)}\r\n`)
    const [feature] = JSON.parse([...pointsGeoJson(points)].join('')).features
    expect(feature.geometry.coordinates).toEqual([5, 52])
    expect(feature.properties).toMatchObject({ headwind_mps: null, demand_j: null })
  })
})

describe('ceteris report --points', () => {
  it('writes a file for each run and form, however the work is shared out, and the report stays the same', () => {
    const folder = mkdtempSync(join(tmpdir(), 'ceteris-points-'))
    try {
      const campaign = shortCampaign(join(folder, 'my-test'))
      const files = (out: string, ...args: string[]): Record<string, string> => {
        const { status } = ceteris('report', campaign, '--out', join(folder, out), '--cards', 'none', ...args)
        expect(status).toBe(0)
        return Object.fromEntries(
          readdirSync(join(folder, out), { recursive: true, encoding: 'utf8' })
            .filter((path) => /\.\w+$/.test(path))
            .map((path) => [path, readFileSync(join(folder, out, path)).toString('latin1')]),
        )
      }
      const plain = files('plain', '--no-cache')
      const { runs } = JSON.parse(plain['report.json']) as { runs: { id: string }[] }
      const withPoints = files('points', '--points', 'csv,geojson,parquet', '--no-cache')
      expect(Object.keys(withPoints).sort()).toEqual(
        [
          ...Object.keys(plain),
          ...runs.flatMap(({ id }) => ['csv', 'geojson', 'parquet'].map((form) => `points/${id}.${form}`)),
        ].sort(),
      )
      // The list of a report's own files names the points as well.
      const { '.ceteris-report.json': _, ...content } = plain
      expect(withPoints).toMatchObject(content)
      expect(files('points', '--points', 'parquet,csv')[`points/${runs[0].id}.csv`]).toBe(
        withPoints[`points/${runs[0].id}.csv`],
      )
    } finally {
      rmSync(folder, { recursive: true })
    }
  })

  it('refuses a form that there is not', () => {
    const { status, stderr } = ceteris('report', 'nowhere', '--points', 'csv,xlsx')
    expect(status).toBe(2)
    expect(stderr).toContain('Expected one or several of csv, geojson, parquet')
  })
})
