import { describe, expect, it } from 'vitest'
import { plainText } from '../../src/base/sentence.ts'
import { workingStateOf } from '../../src/campaign/computed-campaign.ts'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { forecastOf } from '../../src/plan/forecast.ts'
import { slotsOf } from '../../src/plan/windows-ahead.ts'
import { subjectOf } from '../../src/plan/windows-subject.ts'
import { type WindowsSubject, windowsAdvice } from '../../src/report/words/plans/windows.ts'
import { inputFile } from '../campaign/folder.ts'

const METRES_PER_DEGREE = 111_250
const HOUR_S = 3600

type Leg = [eastKm: number, northKm: number]

/** A drive at 25 m/s along straight legs from 52° N 5° E, or from where `from` says, a fix every 2 s. */
function trackAlong(start: string, legs: Leg[], from: Leg = [0, 0]): string {
  const at: Leg[] = [from]
  for (const [east, north] of legs) {
    const [x, y] = at[at.length - 1]
    const steps = Math.round((Math.hypot(east, north) * 1000) / 50)
    for (let i = 1; i <= steps; i++) at.push([x + (east * i) / steps, y + (north * i) / steps])
  }
  const points = at.map(([x, y], i) => {
    const lat = 52 + (y * 1000) / METRES_PER_DEGREE
    const lon = 5 + (x * 1000) / (METRES_PER_DEGREE * Math.cos((52 * Math.PI) / 180))
    const time = new Date(Date.parse(start) + i * 2000).toISOString()
    return `<trkpt lat="${lat.toFixed(7)}" lon="${lon.toFixed(7)}"><ele>3</ele><time>${time}</time></trkpt>`
  })
  return `<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>${points.join('')}</trkseg></trk></gpx>`
}

interface Blow {
  mps: number
  fromDeg: number
  rainMm?: number
}

/** Rows of a steady air beside the road, every half hour of the hours named. */
function airTable(day: string, fromHour: number, toHour: number, { mps, fromDeg, rainMm = 0 }: Blow): string {
  const rows = Array.from({ length: 2 * (toHour - fromHour) + 1 }, (_, i) => {
    const time = new Date(Date.parse(`${day}T00:00:00Z`) + (fromHour + i / 2) * HOUR_S * 1000).toISOString()
    return `A,${time},52.05,5.02,3,10,14,70,1010,${mps},${fromDeg},${rainMm}`
  })
  return `${HEADER}\n${rows.join('\n')}\n`
}
const HEADER =
  'station,time,lat,lon,elevation_m,anemometer_height_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg,precipitation_mm'

/** The plan's subject for the run `out` and a forecast for the noon of 6 May 2024. */
async function subjectFor(files: Record<string, string>, ahead: Blow): Promise<WindowsSubject> {
  const inputs = Object.entries(files).map(([path, text]) => inputFile(path, text))
  const state = await workingStateOf(inputs.map(mapFile), inputs, { draws: 200, seed: 1 })
  const reference = state.records.find(({ run }) => run.id === 'out')!
  const table = mapFile(inputFile('forecast.csv', airTable('2024-05-06', 9, 15, ahead)))
  const { forecast } = await forecastOf([table], state, reference)
  const from = Date.parse('2024-05-06T10:00:00Z') / 1000
  const question = { reference, baseline: [reference], marginPct: 1, from, to: from + 2 * HOUR_S, stepS: HOUR_S }
  return subjectOf(question, slotsOf(question, forecast!, state), forecast!, state)
}

const adviceInWords = (subject: WindowsSubject): string[] => windowsAdvice(subject).map((said) => plainText(said))

const NORTH: Leg[] = [[0, 12]]
const BREEZE = airTable('2024-05-03', 9, 14, { mps: 4, fromDeg: 180 })

describe('driving there and straight back', () => {
  it('is advised on a straight road, where the wind’s doubt cancels', async () => {
    const subject = await subjectFor(
      { 'out.gpx': trackAlong('2024-05-03T10:05:00Z', NORTH), 'air.csv': BREEZE },
      { mps: 4, fromDeg: 180 },
    )
    expect(subject.shape).toBe('one-way')
    expect(adviceInWords(subject)).toEqual([expect.stringMatching(/^Drive there and straight back, .* instead of /)])
  })

  it('is not advised where the road itself turns back on the wind', async () => {
    // 12 km north and 11 km south 3 km farther east: of a steady wind along it 1 km in 26 is left.
    const legs: Leg[] = [...NORTH, [3, 0], [0, -11]]
    const subject = await subjectFor(
      { 'out.gpx': trackAlong('2024-05-03T10:05:00Z', legs), 'air.csv': BREEZE },
      { mps: 4, fromDeg: 180 },
    )
    expect(subject.shape).toBe('one-way')
    expect(subject.thereAndBack).not.toBeNull()
    expect(adviceInWords(subject)).toEqual([])
  })

  it('is not asked of a loop', async () => {
    const legs: Leg[] = [...NORTH, [3, 0], [0, -12], [-3, 0]]
    const subject = await subjectFor(
      { 'out.gpx': trackAlong('2024-05-03T10:05:00Z', legs), 'air.csv': BREEZE },
      { mps: 4, fromDeg: 180 },
    )
    expect([subject.shape, subject.thereAndBack]).toEqual(['loop', null])
  })
})

describe('the other direction', () => {
  /** There with the wind behind on the 3rd, home on the 4th with the wind behind as well. */
  const files = {
    'out.gpx': trackAlong('2024-05-03T10:05:00Z', NORTH),
    'home.gpx': trackAlong('2024-05-04T10:05:00Z', [[0, -12]], [0, 12]),
    'air.csv': BREEZE,
    'air-home.csv': airTable('2024-05-04', 9, 14, { mps: 5, fromDeg: 0 }),
  }

  it('is advised where its own baseline met the wind that is forecast', async () => {
    const subject = await subjectFor(files, { mps: 5, fromDeg: 0 })
    expect(subject.otherDirection?.routeName).toBe('route-2')
    expect(adviceInWords(subject).join()).toContain('ask for it with --road route-2')
  })

  it('is not advised where this one fits', async () => {
    expect((await subjectFor(files, { mps: 4, fromDeg: 180 })).otherDirection).toBeNull()
  })

  it('is not advised where nobody drove it', async () => {
    const { 'home.gpx': _, ...one } = files
    expect((await subjectFor(one, { mps: 5, fromDeg: 0 })).otherDirection).toBeNull()
  })

  it('of a loop is advised as well, where it was driven in such a wind', async () => {
    // Around a square every wind comes from everywhere: what differs is how strong it was.
    const square: Leg[] = [
      [0, 4],
      [4, 0],
      [0, -4],
      [-4, 0],
    ]
    const other: Leg[] = square.map(([e, n]) => [-e, -n] as Leg).reverse()
    const loops = {
      'out.gpx': trackAlong('2024-05-03T10:05:00Z', square),
      'home.gpx': trackAlong('2024-05-04T10:05:00Z', other),
      'air.csv': BREEZE,
      'air-home.csv': airTable('2024-05-04', 9, 14, { mps: 9, fromDeg: 0 }),
    }
    const windy = await subjectFor(loops, { mps: 9, fromDeg: 0 })
    expect([windy.shape, windy.otherDirection?.routeName]).toEqual(['loop', 'route-2'])
    expect((await subjectFor(loops, { mps: 4, fromDeg: 180 })).otherDirection).toBeNull()
  })
})
