import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { spansOf } from '../../src/claim/fuel/fill-spans.ts'
import { kindOf } from '../../src/read/kind.ts'
import { readFillsTable } from '../../src/read/runs/fills-table.ts'

/** The fuel log: what is read of it, and what is told of what is not. Expected figures by hand. */
const read = (text: string, zone: string | null = 'Europe/Vienna') => {
  const { value, problems } = readFillsTable(text, zone)
  return { rows: value?.rows ?? [], problems }
}
const seconds = (iso: string): number => Date.parse(iso) / 1000

describe('the kind of a table', () => {
  it.each([
    ['fills-table', 'time,odometer_km,fuel_l,full\n2026-05-04T07:40,48210,38.2,yes\n'],
    ['fills-table', 'date;odometer_mi;fuel_gal_us\n2026-05-04;30012;10,1\n'],
    ['fills-table', 'time,energy_kwh,soc_after_pct\n2026-05-04T07:40Z,22,80\n'],
    ['runs-table', 'track,date,odometer_km,fuel_l\na.gpx,2026-05-04,20,1.2\n'],
    ['runs-table', 'date,time,setup,odometer_km,fuel_l,fill_group\n2026-05-04,07:40,bare,20,1.2,a\n'],
    ['runs-table', 'date;setup;consumption_mpg_us;odometer_mi\n2026-05-04;bare;30,1;12\n'],
    ['fills-table', 'date,odometer_km,fuel_l,price,consumption_l_per_100km\n2026-05-04,48210,38.2,60,6.1\n'],
    ['observation-table', 'time,lat,lon,temperature_c,wind_speed_mps\n2026-05-04T07:40Z,48,16,12,3\n'],
  ])('is %s by its columns', (kind, text) => {
    expect(kindOf(text)).toBe(kind)
  })
})

describe('which fills were full', () => {
  // By hand: the second fill did not fill the tank.
  it.each([
    ['full', 'yes', 'no'],
    ['Full tank?', 'y', 'n'],
    ['vollgetankt', 'ja', 'nein'],
    ['Tank full', 'full', 'partial'],
    ['partial', 'no', 'yes'],
    ['Partial fill', '', 'x'],
    ['partial', 'full', 'partial'],
  ])('is read from a column "%s" with "%s" and "%s"', (name, full, partial) => {
    const text = `date,odometer_km,fuel_l,${name}\n2026-05-04,100,40,${full}\n2026-05-05,200,4,${partial}\n`
    const { rows, problems } = read(text)
    expect(rows.map((row) => row.full ?? true)).toEqual([true, false])
    expect(problems.filter(({ severity }) => severity !== 'note')).toEqual([])
    expect(kindOf(text)).toBe('fills-table')
  })
})

describe('a table of setups and amounts alone', () => {
  const codes = (text: string): string[] => read(text).problems.map(({ code }) => code)

  it('may be of drives, and says how it is read', () => {
    expect(codes('time,setup,trip_km,fuel_l\n2026-05-04T07:40,a,20,1.2\n2026-05-05T07:40,b,20,1.1\n')).toEqual([
      'fills-or-drives',
    ])
  })

  it.each([
    [
      'a column of full fills',
      'time,setup,trip_km,fuel_l,full\n2026-05-04T07:40,a,20,1.2,yes\n2026-05-05T07:40,b,20,1.1,yes\n',
    ],
    ['an odometer', 'time,setup,odometer_km,fuel_l\n2026-05-04T07:40,a,4820,1.2\n2026-05-05T07:40,b,4840,1.1\n'],
  ])('is a fuel log by %s', (_, text) => {
    expect(codes(text)).toEqual([])
  })

  it('a column of drives is told apart from one whose unit is not known', () => {
    const { problems } = read('time,fuel_l,price,payload_kg\n2026-05-04T07:40,10,9,300\n')
    expect(problems.map(({ code, message }) => [code, message])).toEqual([
      ['fills-unknown-column', 'the column "payload_kg" does not belong to a fill, and is not used'],
    ])
  })
})

describe('a fuel log', () => {
  it('is read as docs/files.md shows it: local times, partial fills carried to the next full one', () => {
    const page = readFileSync(join(import.meta.dirname, '../../docs/files.md'), 'utf8')
    const example = /## fills\.csv[\s\S]*?```csv\n([\s\S]*?)```/.exec(page)?.[1] ?? ''
    const { rows, problems } = read(example)
    expect(problems).toEqual([])
    expect(rows.map(({ fuelLitres }) => fuelLitres)).toEqual([38.2, 9.8, 8.45, 16.72])
    // Central European Summer Time is two hours ahead of UTC.
    expect(rows[0].fromTime).toBe(seconds('2026-05-04T05:40Z'))
    const spans = spansOf(rows)
    expect(spans.map(({ amount, distanceM, setup }) => [amount.toFixed(2), distanceM, setup])).toEqual([
      ['18.25', 301_000, 'bare'],
      ['16.72', 300_000, 'skirts'],
    ])
  })

  it('takes gallons, pounds and miles', () => {
    const { rows } = read('time,odometer_mi,fuel_gal_us\n2026-05-04T07:40Z,1000,10\n')
    // NIST SP 811, appendix B: a US gallon is 3.785411784 l, a mile 1609.344 m.
    expect(rows[0].fuelLitres).toBeCloseTo(37.85411784, 9)
    expect(rows[0].odometerM).toBeCloseTo(1_609_344, 6)
  })

  it('has a whole day where no time is written', () => {
    const [row] = read('date,fuel_l\n2026-05-04,10\n').rows
    expect([row.fromTime, row.toTime]).toEqual([seconds('2026-05-03T22:00Z'), seconds('2026-05-04T22:00Z')])
  })

  it.each([
    ['a time that is none', 'time,fuel_l\nyesterday,10\n', 'fills-no-time', 2],
    ['a row without an amount', 'time,fuel_l,odometer_km\n2026-05-04T07:40Z,,100\n', 'fills-no-amount', 2],
    ['no column of times', 'odometer_km,fuel_l\n100,10\n', 'fills-no-time-column', 1],
    ['more than a tank', 'time,fuel_l\n2026-05-04T07:40Z,38200\n', 'fills-impossible-value', 2],
    ['a word that is neither yes nor no', 'time,fuel_l,full\n2026-05-04T07:40Z,10,maybe\n', 'fills-not-yes-or-no', 2],
    ['a column that is nearly known', 'time,fuel_l,odometr_km\n2026-05-04T07:40Z,10,3\n', 'fills-unknown-column', 1],
    ['a unit that is not known', 'time,fuel_l,odometer_furlongs\n2026-05-04T07:40Z,10,3\n', 'fills-unknown-unit', 1],
  ])('tells of %s', (_, text, code, line) => {
    expect(read(text).problems).toContainEqual(expect.objectContaining({ code, line }))
  })

  it('says once that times without a zone are taken as UTC', () => {
    const { problems } = read('time,fuel_l\n2026-05-04T07:40,10\n2026-05-05T07:40,10\n', null)
    expect(problems.map(({ code, message }) => [code, message])).toEqual([
      ['fills-zone-assumed', '2 times have no zone and campaign.yaml names no time_zone: taken as UTC'],
    ])
  })
})

describe('spans between full fills', () => {
  const spans = (text: string) => spansOf(read(text).rows)

  it('are in the order of time, whatever that of the rows', () => {
    const rows = ['2026-05-04T07:40Z,100,30', '2026-05-06T07:40Z,500,25', '2026-05-05T07:40Z,300,12']
    expect(spans(`time,odometer_km,fuel_l\n${rows.join('\n')}\n`).map(({ amount }) => amount)).toEqual([12, 25])
  })

  it('are not used where a fill is missing, setups are mixed or the odometer goes back', () => {
    const text = `time,odometer_km,fuel_l,full,missed,setup
2026-05-01T07:40Z,100,30,yes,,
2026-05-02T07:40Z,900,25,yes,yes,
2026-05-03T07:40Z,1000,5,no,,bare
2026-05-04T07:40Z,1100,6,yes,,skirts
2026-05-05T07:40Z,110,6,yes,,
`
    expect(spans(text).map(({ fault }) => fault?.code)).toEqual(['fill-missed', 'setups-mixed', 'odometer-backwards'])
  })

  it('take the distances since the fill before where there is no odometer', () => {
    const text =
      'time,trip_km,fuel_l,full\n2026-05-01Z,0.5,30,yes\n2026-05-02T07:40Z,100,5,no\n2026-05-03T07:40Z,150,9,yes\n'
    expect(spans(text.replace('01Z', '01T00:00Z'))[0]).toMatchObject({ amount: 14, distanceM: 250_000 })
  })

  it('are carried over a fill whose mark is missing where the others are ticked', () => {
    const marked = (mark: string): string =>
      `date,odometer_km,fuel_l,full\n2026-04-22,1000,38,x\n2026-05-02,1572,20,${mark}\n2026-05-04,1750,31,x\n`
    expect(spans(marked('')).map(({ amount, distanceM }) => [amount, distanceM])).toEqual([[51, 750_000]])
    expect(spans(marked('x')).map(({ amount }) => amount)).toEqual([20, 31])
    expect(spans(marked('no')).map(({ amount }) => amount)).toEqual([51])
  })

  it('take a column of distances that goes on for the odometer, and one that does not for trips', () => {
    const log = (km: number[]): string => `date,km,fuel_l\n${km.map((d, i) => `2026-05-0${i + 1},${d},30\n`).join('')}`
    expect(spans(log([120_345, 120_987, 121_530])).map(({ distanceM }) => distanceM)).toEqual([642_000, 543_000])
    expect(spans(log([640, 642, 700])).map(({ distanceM }) => distanceM)).toEqual([642_000, 700_000])
    expect(readFillsTable(log([120_345, 120_987, 121_530]), null).problems.map(({ code }) => code)).toContain(
      'fills-odometer-taken',
    )
  })

  it('are apart for fuel and for charges', () => {
    const text = `time,odometer_km,fuel_l,energy_kwh
2026-05-01T07:40Z,100,30,
2026-05-02T07:40Z,200,,8
2026-05-03T07:40Z,300,,9
2026-05-04T07:40Z,600,20,
`
    expect(spans(text).map(({ unit, amount }) => [unit, amount])).toEqual([
      ['l', 20],
      ['kWh', 9],
    ])
  })
})
