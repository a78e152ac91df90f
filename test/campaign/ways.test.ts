import { describe, expect, test } from 'vitest'
import { motionsIn } from '../../src/campaign/load/drive-source.ts'
import { readInputs } from '../../src/campaign/load/inputs.ts'
import { type InputFile, type MappedFile, mapFile } from '../../src/campaign/load/map-file.ts'
import { mapParts } from '../../src/campaign/load/map-parts.ts'
import { runsOf } from '../../src/campaign/load/runs.ts'
import type { RunRow } from '../../src/read/runs/rows.ts'
import { reportOf } from './folder.ts'
import { filesOf, WAYS, type Way } from './ways.ts'

// Issue J: "A folder of the same campaign written in at least 20 ways gives the same claims to the last digit shown."
// All that a report knows of tables is what `readInputs` and `runsOf` give; the claims themselves are compared for a few.

const isTrack = ({ path }: InputFile): boolean => path.startsWith('tracks/')
const asItIs: Way = { what: 'as it is' }
const tracks = filesOf(asItIs).filter(isTrack).map(mapFile)

async function readIn(way: Way) {
  const others = filesOf(way).filter((file) => !isTrack(file))
  const mapped: MappedFile[] = [...tracks, ...(await Promise.all(others.map(mapParts))).flat()]
  const inputs = await readInputs(mapped)
  const { gates, timeZone } = inputs.campaign
  const { runs, problems } = runsOf(mapped, { ...inputs, gates, timeZone }, motionsIn(tracks))
  const weather = inputs.observations.map(({ observations }) => observations).sort((a, b) => a.count - b.count)
  return { runs, weather, problems: [...inputs.problems, ...problems] }
}

/** What a row says, to the eleventh digit: values come through other units. */
const said = (row: RunRow | null): unknown =>
  row &&
  Object.entries(row)
    .filter(([name]) => !['line', 'track', 'file', 'when', 'extra', 'consumptionLitresPer100Km'].includes(name))
    .map(([name, value]) => [name, typeof value === 'number' ? value.toPrecision(11) : value])
const rounded = (column: ArrayLike<number>): string[] => Array.from(column, (value) => value.toPrecision(10))

const base = await readIn(asItIs)

test('there are as many ways as the issue asks for', () => {
  expect(WAYS.length).toBeGreaterThanOrEqual(20)
})

describe('the same rows of the same drives, and the same weather', () => {
  test.each(WAYS)('$what', async (way) => {
    const { runs, weather, problems } = await readIn(way)
    expect(problems.filter(({ severity }) => severity === 'error')).toEqual([])
    expect(runs.map(({ id, row }) => [id, said(row)])).toEqual(base.runs.map(({ id, row }) => [id, said(row)]))
    expect(weather.map(({ stations }) => stations.map(({ id }) => id))).toEqual(
      base.weather.map(({ stations }) => stations.map(({ id }) => id)),
    )
    for (const [
      i,
      {
        count,
        time,
        temperatureK,
        relativeHumidity,
        windSpeedMps,
        windFromDeg,
        windGustMps,
        stationPressurePa,
        roadWet,
      },
    ] of weather.entries()) {
      const want = base.weather[i]
      expect(count).toBe(want.count)
      expect(rounded(time)).toEqual(rounded(want.time))
      expect(rounded(temperatureK)).toEqual(rounded(want.temperatureK))
      expect(rounded(relativeHumidity)).toEqual(rounded(want.relativeHumidity))
      expect(rounded(windSpeedMps)).toEqual(rounded(want.windSpeedMps))
      expect(rounded(windFromDeg)).toEqual(rounded(want.windFromDeg))
      expect(rounded(windGustMps)).toEqual(rounded(want.windGustMps))
      expect(rounded(stationPressurePa)).toEqual(rounded(want.stationPressurePa))
      expect(rounded(roadWet)).toEqual(rounded(want.roadWet))
    }
  })
})

test('the same claims to the last digit shown', async () => {
  const draws = 40
  const shown = async (way: Way): Promise<unknown> => {
    const { claims } = await reportOf(filesOf(way), { draws })
    return claims.map(
      ({ setup, verdict, raw_consumption_change_pct: raw, adjusted_consumption_change_pct: adjusted }) => [
        setup,
        verdict,
        ...[raw, adjusted].map(
          (figures) => figures && [figures.estimate, figures.low95, figures.high95].map((value) => value.toFixed(2)),
        ),
      ],
    )
  }
  const want = await shown(asItIs)
  for (const name of ['US units, tracks in capitals', 'a workbook .xlsx of an office suite, three sheets']) {
    const way = WAYS.find(({ what }) => what === name)
    expect(await shown(way ?? asItIs), name).toEqual(want)
  }
})
