import { describe, expect, it } from 'vitest'
import type { Report } from '../../src/report/contract.ts'
import { inputFile, reportOf } from './folder.ts'

/**
 * How far and how long reports speak for a drive: the documented reach (docs/files.md, Weather), tried by whole drives.
 * @param stands begin and length of stands, s from the start
 */
function northwards(start: string, seconds: number, stands: [fromS: number, lastsS: number][] = []): string {
  const points: string[] = []
  let drivenS = 0
  for (let s = 0; s <= seconds; s += 5) {
    if (s > 0 && !stands.some(([from, lasts]) => s > from && s <= from + lasts)) drivenS += 5
    const time = new Date(Date.parse(start) + 1000 * s).toISOString()
    points.push(
      `<trkpt lat="${(50 + (drivenS * 25) / 111_250).toFixed(7)}" lon="5"><ele>3</ele><time>${time}</time></trkpt>`,
    )
  }
  return `<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>${points.join('\n')}</trkseg></trk></gpx>`
}

const HEAD =
  'station,time,lat,lon,elevation_m,anemometer_height_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg'
const reports = (id: string, lat: number, days: string[], times: string[]): string =>
  days.flatMap((day) => times.map((time) => `${id},${day}T${time}Z,${lat},5,3,10,14,70,1010,4,200`)).join('\n')
const DAYS = ['2024-05-03', '2024-05-04']
const HOURLY = Array.from({ length: 10 }, (_, i) => `${String(7 + i).padStart(2, '0')}:00`)
const weather = (...stations: string[]) => inputFile('weather.csv', `${HEAD}\n${stations.join('\n')}\n`)
const halfOf = ({ pairs }: Report): number => {
  const { difference_pct: d } = pairs[0]
  return d ? (d.high90 - d.low90) / 2 : Number.NaN
}

describe('reports speak for a drive', () => {
  it('on a road of 260 km between two stations at its ends, with more doubt than with one in its middle', async () => {
    const drives = DAYS.map((day) => inputFile(`${day}.gpx`, northwards(`${day}T08:00:00Z`, 10_400)))
    const ends = [reports('A', 50, DAYS, HOURLY), reports('B', 52.34, DAYS, HOURLY)]
    const apart = await reportOf([...drives, weather(...ends)], { draws: 100 })
    const between = await reportOf([...drives, weather(...ends, reports('C', 51.17, DAYS, HOURLY))], { draws: 100 })
    expect(apart.pairs[0].difference_pct).not.toBeNull()
    expect(halfOf(apart)).toBeGreaterThan(halfOf(between))
  })

  it('over a lunch of two hours in the middle, which changes nothing but the time', async () => {
    const rows = inputFile('runs.csv', `track,split,engine_off\n${DAYS.map((day) => `${day}.gpx,no,120`).join('\n')}\n`)
    const stations = weather(reports('A', 50.1, DAYS, HOURLY))
    const driven = (stands: [number, number][], seconds: number) =>
      reportOf(
        [
          ...DAYS.map((day) => inputFile(`${day}.gpx`, northwards(`${day}T08:00:00Z`, seconds, stands))),
          rows,
          stations,
        ],
        { draws: 100 },
      )
    const straight = await driven([], 2400)
    const withLunch = await driven([[1200, 7200]], 9600)
    expect(withLunch.runs).toHaveLength(2)
    expect(withLunch.pairs[0].difference_pct).not.toBeNull()
    expect(halfOf(withLunch) / halfOf(straight)).toBeLessThan(1.5)
  })

  it('where they are your own readings without a place, before and after a drive of two hours, with their age in the doubt', async () => {
    const drives = DAYS.map((day) => inputFile(`${day}.gpx`, northwards(`${day}T08:00:00Z`, 7200)))
    const own = (times: string[]) =>
      inputFile(
        'readings.csv',
        `time,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg\n${DAYS.flatMap((day) => times.map((time) => `${day}T${time}Z,14,70,1010,4,200`)).join('\n')}\n`,
      )
    const beforeAndAfter = await reportOf([...drives, own(['07:55', '10:05'])], { draws: 100 })
    expect(beforeAndAfter.pairs[0].difference_pct).not.toBeNull()
    const often = await reportOf([...drives, own(['07:55', '08:30', '09:00', '09:30', '10:05'])], { draws: 100 })
    expect(halfOf(beforeAndAfter)).toBeGreaterThan(halfOf(often))
  })
})

describe('wind and temperature in tables', () => {
  const short = DAYS.map((day) => inputFile(`${day}.gpx`, northwards(`${day}T08:00:00Z`, 1200)))
  const table = (name: string, column: string, value: number) =>
    inputFile(
      name,
      `station,time,lat,lon,elevation_m,${column}\n${DAYS.flatMap((day) => HOURLY.map((time) => `A,${day}T${time}Z,50,5,3,${value}`)).join('\n')}\n`,
    )
  const told = async (...files: ReturnType<typeof table>[]): Promise<Report['problems']> => {
    const { problems } = await reportOf([...short, ...files], { draws: 50 })
    return problems.filter(({ code }) => /^weather-(wind|temperature)-missing$|^weather-out-of-reach$/.test(code))
  }

  it('may stand in files of their own', async () => {
    expect(await told(table('t.csv', 'temperature_c', 14), table('w.csv', 'wind_speed_mps', 4))).toEqual([])
  })

  it('are told as missing once where no file has them, and no other reason is named', async () => {
    const problems = await told(table('rain.csv', 'precipitation_mm', 0))
    expect(problems.map(({ code, line }) => ({ code, line }))).toEqual([{ code: 'weather-wind-missing', line: 1 }])
    const [reason] = problems
    expect(reason.message).toContain('neither a column of wind speed nor one of temperature')
    expect(`${reason?.message} ${reason?.hint}`).not.toMatch(/hours|positions|time zone/)
  })
})
