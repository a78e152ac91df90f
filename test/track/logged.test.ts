import { readFileSync } from 'node:fs'
import { gunzipSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { readCsvLog } from '../../src/read/tracks/csv-log/read.ts'
import { cutDrive } from '../../src/track/cut.ts'
import { driveOf } from '../../src/track/drive.ts'
import { loggedOf, spansOf } from '../../src/track/logged.ts'
import { rateIntegral, totalChange } from '../../src/track/motion/log-integral.ts'
import type { Drive } from '../../src/track/types.ts'
import { csvRows } from './tracks.ts'

/** MIT licence; see test/data/logged-drive/SOURCE.md. */
const LOG = gunzipSync(readFileSync(new URL('../data/logged-drive/Log.csv.gz', import.meta.url))).toString()

const whole = (endTime: number) => [{ fromTime: 0, toTime: endTime }]

describe('a real log of 140 km', () => {
  const drive = driveOf(readCsvLog(LOG).value!.tracks[0]).value as Drive
  const logged = loggedOf(drive.log, drive.motion, null)!
  const [energy] = logged.totals

  it('gives the energy, the charge and the odometer that its SOURCE.md gives', () => {
    expect(energy.by).toBe('voltage-and-current')
    // 20.07 kWh by volts and amps, 52.6 % of the pack, 140.0 km by odometer: test/data/logged-drive/SOURCE.md.
    expect(energy.amount / 1000).toBeCloseTo(20.07, 1)
    expect(100 * (logged.chargeStart - logged.chargeEnd)).toBeCloseTo(52.6, 1)
    expect(logged.odometerM / 1000).toBeCloseTo(140, 0)
    expect(energy.coveredShare).toBeGreaterThan(0.999)
    expect(energy.turned).toBe(false)
  })

  it('in parts adds up to the whole, and a window cut out comes off', () => {
    const { startTime, count, stepS } = drive.motion
    const endTime = startTime + (count - 1) * stepS
    const middle = startTime + 2000 * stepS
    const partOf = (fromTime: number, toTime: number): number => {
      const part = cutDrive(drive, { fromTime, toTime })
      return loggedOf(part.log, part.motion, { fromTime, toTime })!.totals[0].amount
    }
    const first = partOf(startTime, middle)
    expect(first + partOf(middle, endTime)).toBeCloseTo(energy.amount, 3)
    const without = { fromTime: startTime, toTime: endTime, without: [{ fromTime: startTime, toTime: middle }] }
    expect(loggedOf(drive.log, drive.motion, without)!.totals[0].amount).toBeCloseTo(energy.amount - first, 3)
  })

  it('with the current of the other sign is turned by the charge that falls', () => {
    const log = { time: drive.log!.time, columns: { ...drive.log!.columns } }
    const amps = log.columns.batteryCurrentA!
    log.columns.batteryCurrentA = { ...amps, values: amps.values.map((a) => -a) }
    const turned = loggedOf(log, drive.motion, null)!.totals[0]
    expect(turned.turned).toBe(true)
    expect(turned.amount).toBeCloseTo(energy.amount, 6)
    expect(turned.regained).toBeCloseTo(energy.regained, 6)
  })
})

describe('the standard deviation of an integral', () => {
  /** Power of a car of 1500 kg over a published cycle at 1 Hz: inertia, rolling and drag as in a textbook. */
  const powerOver = (file: string): Float64Array => {
    const speeds = Float64Array.from(csvRows(`drive-cycles/${file}.csv`), (row) => Number(row.cycMps))
    return speeds.map((v, i) => v * (150 + 0.4 * v * v + 1500 * ((speeds[i + 1] ?? 0) - v)))
  }

  it.each(['wltc_3b', 'udds', 'hwfet'])('covers what sampling every 5 s leaves out of %s', (file) => {
    const watts = powerOver(file)
    const time = watts.map((_, i) => i)
    const end = 5 * Math.floor((watts.length - 10) / 5)
    const truth = rateIntegral(time, watts, [{ fromTime: 5, toTime: end }]).amount
    const errors = [0, 1, 2, 3, 4].map((offset) => {
      const rows = Array.from({ length: Math.floor((watts.length - offset) / 5) }, (_, n) => offset + 5 * n)
      const sampled = rateIntegral(
        Float64Array.from(rows),
        Float64Array.from(rows, (i) => watts[i]),
        [{ fromTime: 5, toTime: end }],
      )
      return (sampled.amount - truth) / sampled.sd
    })
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(3)
  })
})

describe('a rate over a drive', () => {
  const time = Float64Array.from({ length: 101 }, (_, i) => i)
  const two = time.map(() => 2)

  it('that is held is its value times the time, whatever is missing between two values near each other', () => {
    const sparse = two.map((v, i) => (i % 3 === 0 || i === 100 ? v : Number.NaN))
    expect(rateIntegral(time, sparse, whole(100))).toMatchObject({ amount: 200, sd: 0, coveredShare: 1 })
  })

  it('with a stretch nobody recorded is filled in at the mean with half of that as its doubt', () => {
    const gap = two.map((v, i) => (i > 40 && i < 60 ? Number.NaN : v))
    const { amount, sd, coveredShare } = rateIntegral(time, gap, whole(100))
    expect([amount, sd, coveredShare]).toEqual([200, 20, 0.8])
  })

  it('within stretches takes none of what lies outside', () => {
    const spans = spansOf({ fromTime: 0, toTime: 100 }, [{ fromTime: 20.5, toTime: 60 }])
    expect(rateIntegral(time, two, spans).amount).toBeCloseTo(2 * 60.5, 9)
  })
})

describe('a running total', () => {
  it('is the last less the first; where it falls back it is told', () => {
    const time = Float64Array.of(0, 10, 20, 30)
    expect(totalChange(time, Float64Array.of(5, 5.5, 6, 6.5), whole(30), false)).toMatchObject({
      amount: 1.5,
      resets: 0,
      coveredShare: 1,
    })
    expect(totalChange(time, Float64Array.of(5, 5.5, 0, 0.5), whole(30), false)).toMatchObject({ amount: 1, resets: 1 })
    expect(totalChange(time, Float64Array.of(5, 5.5, 5.25, 6), whole(30), true)).toMatchObject({ amount: 1, resets: 0 })
  })
})

describe('a recording with a speed and nothing else', () => {
  it('keeps no log: the speed is in the motion', () => {
    const track = readCsvLog(LOG).value!.tracks[0]
    const { speedMps } = track.logged
    expect(driveOf({ ...track, logged: { speedMps } }).value!.log).toBeNull()
    expect(driveOf({ ...track, logged: {} }).value!.log).toBeNull()
  })
})
