import { describe, expect, it } from 'vitest'
import { readGpx } from '../../src/read/gpx/read.ts'
import type { Report } from '../../src/report/contract.ts'
import { DAY_START, exampleDay, LAPS } from '../simulator/example-days.ts'
import { inputFile, reportOf } from './folder.ts'

/** Watts that a battery gives at each second of a day file: any pattern does, as long as it is added up apart. */
const wattsAt = (i: number, scale: number): number =>
  scale * (12_000 + 3000 * Math.sin(i / 3) - (i % 400 < 10 ? 18_000 : 0))

interface Day {
  csv: string
  /** Seconds since 1970 and watts of each row. */
  time: Float64Array
  watts: number[]
}

/** A simulated day of laps as a CSV log with pack volts and amperes, and an outside temperature. */
function logOf(name: string, hour: number, scale: number): Day {
  const { gpx } = exampleDay(LAPS(3), { seed: name, startS: DAY_START + 3600 * hour })
  const { time, latitude, longitude, elevation } = readGpx(gpx).value!.tracks[0]
  const watts = Array.from(time, (_, i) => wattsAt(i, scale))
  const rows = watts.map(
    (w, i) => `${time[i]},${latitude[i]},${longitude[i]},${elevation[i]},${360},${(w / 360).toFixed(6)},17.5`,
  )
  return { csv: `epoch,lat,lon,altitude (m),pack volts,pack amps,ambient (C)\n${rows.join('\n')}\n`, time, watts }
}

const days = { a: logOf('a', 0, 1), b: logOf('b', 2, 0.9), c: logOf('c', 4, 1.01) }
const EV = 'vehicle: {class: car, powertrain: electric}\nbaseline: bare\n'
const reported = (rows: string, fuel = ''): Promise<Report> =>
  reportOf(
    [
      ...Object.entries(days).map(([name, { csv }]) => inputFile(`${name}.csv`, csv)),
      inputFile('runs.csv', `track,setup${fuel}\n${rows}`),
      inputFile('campaign.yaml', EV),
    ],
    { draws: 100 },
  )
const laps = (name: string, hour: number, setup: string, tail = ''): string =>
  [1, 2, 3].map((lap) => `${name}.csv@0${hour}00.${lap},${setup}${tail}\n`).join('')
const ROWS = laps('a', 7, 'bare') + laps('b', 9, 'covers')

/** Kilowatt hours between two instants, by the trapezoids of the test's own rows. */
function kwhBetween({ time, watts }: Day, from: string, to: string): number {
  const [start, end] = [Date.parse(from) / 1000, Date.parse(to) / 1000]
  let joules = 0
  for (let i = 1; i < time.length; i++) {
    if (time[i - 1] < start - 0.5 || time[i] > end + 0.5) continue
    joules += ((watts[i] + watts[i - 1]) / 2) * (time[i] - time[i - 1])
  }
  return joules / 3.6e6
}

describe('energy that a vehicle logs', () => {
  it('is that of each lap, to a second at its ends', async () => {
    const { runs } = await reported(ROWS)
    const own = runs.filter(({ track }) => track.startsWith('a.csv'))
    expect(own).toHaveLength(3)
    for (const run of own) {
      const [total] = run.logged!.energy
      expect(total).toMatchObject({
        by: 'voltage-and-current',
        unit: 'kWh',
        used: true,
        columns: ['pack volts', 'pack amps'],
      })
      // A lap may begin between two rows: at most a second of 15 kW at each end.
      expect(Math.abs(total.amount - kwhBetween(days.a, run.start_time, run.end_time))).toBeLessThan((2 * 15) / 3600)
    }
  })

  it('is the measure where runs.csv gives no energy, of laps too, and this is told', async () => {
    const { claims, problems, runs } = await reported(ROWS)
    expect(problems.map(({ code }) => code)).toContain('logged-amount-counts')
    expect(claims).toHaveLength(1)
    expect(claims[0].runs).toHaveLength(3)
    // As the test's own sums of the laps say.
    const per = (name: 'a' | 'b'): number => {
      const own = runs.filter(({ track }) => track.startsWith(name))
      const logs = own.map((run) => Math.log(kwhBetween(days[name], run.start_time, run.end_time) / run.distance_m))
      return logs.reduce((sum, log) => sum + log, 0) / logs.length
    }
    const want = 100 * Math.expm1(per('b') - per('a'))
    expect(Math.abs((claims[0].raw_consumption_change_pct?.estimate ?? 0) - want)).toBeLessThan(1)
  })

  it('is a way of measuring of its own beside energy that was charged', async () => {
    const rows = laps('a', 7, 'bare', ',0.5') + laps('b', 9, 'covers', ',0.45')
    const { claims, problems } = await reported(rows, ',energy_kwh')
    expect(problems.map(({ code }) => code)).not.toContain('logged-amount-counts')
    const kinds = claims[0].evidence.map(({ kind }) => kind)
    expect(kinds).toContain('logged energy')
  })

  it('the outside temperature is an observation of its own drive, with the doubt of a note', async () => {
    const { runs } = await reported(ROWS)
    for (const { air, id } of runs) {
      expect(air.temperature_c).toBeCloseTo(17.5, 3)
      expect(air.stations.map((station) => station.id)).toEqual([`sensor of ${id}`])
    }
  })
})
