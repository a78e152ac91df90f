import { beforeAll, describe, expect, it } from 'vitest'
import { mean, standardDeviation } from '../../src/base/statistics.ts'
import { consumptionsOf, odometerRatio } from '../../src/claim/fuel/consumption.ts'
import { amountIn, campaignUnit, drawKey, type FuelReading, readFuel } from '../../src/claim/fuel/measure.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import { drawn as drawnErrors } from './drawn.ts'
import { claimSettings, emptyRow } from './synthetic-campaign.ts'

const DAY_S = 86_400
const settings = claimSettings({ fillRepeatabilityLitres: 0.12 })

/** A run on day `day` that used 8 litres over 100 km in conditions of 1000 J/m. */
function run(day: number, over: Partial<FuelRun> = {}, row: Partial<FuelRun['row']> = {}): FuelRun {
  return {
    id: `day-${day}`,
    route: 0,
    setup: 'bare',
    startTime: 20_000 * DAY_S + day * DAY_S,
    endTime: 20_000 * DAY_S + day * DAY_S + 3600,
    distanceM: 100_000,
    row: emptyRow({ fuelLitres: 8, ...row }),
    demandDraws: new Float64Array(400).fill(1000),
    nominalDemandJPerM: 1000,
    nominalDragJPerM: 500,
    leftOut: null,
    ...over,
  }
}

/** A sample's divisor is n − 1: 400 draws are 0.13 % wider than their distribution. */
const WIDER = Math.sqrt(400 / 399)
const sd = (draws: Float64Array): number => standardDeviation(draws) / WIDER
const correlation = (a: Float64Array, b: Float64Array): number =>
  mean(a.map((v, k) => v * b[k])) / sd(a) / sd(b) - (mean(a) * mean(b)) / sd(a) / sd(b)

describe('what fuel is measured in', () => {
  const kg = { fuelLitres: Number.NaN, fuelKg: 6 }
  const kwh = { fuelLitres: Number.NaN, energyKwh: 18 }

  it('each amount has its own column', () => {
    const { row } = run(0, {}, { fuelKg: 6, energyKwh: 18 })
    expect([amountIn(row, 'l'), amountIn(row, 'kg'), amountIn(row, 'kWh')]).toEqual([8, 6, 18])
  })

  it('is that of most runs, weighing before litres before energy at a tie; 0 is no reading', () => {
    expect(campaignUnit([run(0), run(1, {}, kwh), run(2, {}, kwh)])).toBe('kWh')
    expect(campaignUnit([run(0), run(1, {}, kwh)])).toBe('l')
    expect(campaignUnit([run(0), run(1, {}, kg)])).toBe('kg')
    expect(campaignUnit([run(0, {}, { fuelLitres: 0 })])).toBeNull()
    expect(campaignUnit([])).toBeNull()
  })

  it('other units are not read, nor is nothing', () => {
    expect(readFuel([run(0, {}, kg), run(1, {}, { fuelLitres: 0 })], 'l', settings)).toEqual([null, null])
  })
})

describe('a can on a scale', () => {
  let [one, two]: (FuelReading | null)[] = []
  beforeAll(() => {
    ;[one, two] = readFuel([run(0, {}, { fuelKg: 6 }), run(1, {}, { fuelKg: 3 })], 'kg', settings)
  })

  it('is weighed twice a run, to 20 g, on a scale good to 0.2 %', () => {
    expect(one).toMatchObject({ unit: 'kg', read: 6, amount: 6, at15C: false })
    expect(sd(drawnErrors(one!.errors, 'fills'))).toBeCloseTo((Math.SQRT2 * 0.02) / 6, 6)
    expect(sd(drawnErrors(two!.errors, 'fills'))).toBeCloseTo((Math.SQRT2 * 0.02) / 3, 6)
    expect(sd(drawnErrors(one!.errors, 'pump_meter'))).toBeCloseTo(0.002, 6)
    expect(drawnErrors(one!.errors, 'fuel_temperature').length).toBe(400)
    expect(drawnErrors(one!.errors, 'fuel_temperature').every((e) => e === 0)).toBe(true)
  })

  it('the scale is one for all runs, the weighings are not', () => {
    expect([...drawnErrors(one!.errors, 'pump_meter')]).toEqual([...drawnErrors(two!.errors, 'pump_meter')])
    expect(Math.abs(correlation(drawnErrors(one!.errors, 'fills'), drawnErrors(two!.errors, 'fills')))).toBeLessThan(
      0.2,
    )
    expect(
      Math.abs(correlation(drawnErrors(one!.errors, 'fills'), drawnErrors(one!.errors, 'pump_meter'))),
    ).toBeLessThan(0.2)
  })
})

describe('a charge', () => {
  let [one, two]: (FuelReading | null)[] = []
  beforeAll(() => {
    ;[one, two] = readFuel([run(0, {}, { energyKwh: 18 }), run(1, {}, { energyKwh: 9 })], 'kWh', settings)
  })

  it('repeats to 1 % with a meter good to 1 %, whatever its size', () => {
    expect(one).toMatchObject({ unit: 'kWh', read: 18, amount: 18, at15C: false })
    for (const reading of [one, two]) {
      expect(sd(drawnErrors(reading!.errors, 'fills'))).toBeCloseTo(0.01, 6)
      expect(sd(drawnErrors(reading!.errors, 'pump_meter'))).toBeCloseTo(0.01, 6)
    }
    expect(drawnErrors(one!.errors, 'fuel_temperature').every((e) => e === 0)).toBe(true)
  })

  it('repeats to the kilowatt hours that are stated, which of a small charge are a larger part', () => {
    const battery = {
      capacityKwh: null,
      capacitySdKwh: null,
      chargingEfficiency: null,
      litresPerKwh: null,
      chargeSdKwh: 0.09,
    }
    const stated = { ...settings, battery }
    const [large, small] = readFuel([run(0, {}, { energyKwh: 18 }), run(1, {}, { energyKwh: 0.9 })], 'kWh', stated)
    expect(sd(drawnErrors(large!.errors, 'fills'))).toBeCloseTo(0.09 / 18, 6)
    expect(sd(drawnErrors(small!.errors, 'fills'))).toBeCloseTo(0.09 / 0.9, 6)
  })

  it('the meter is one for all runs, the charges are not', () => {
    expect([...drawnErrors(one!.errors, 'pump_meter')]).toEqual([...drawnErrors(two!.errors, 'pump_meter')])
    expect(Math.abs(correlation(drawnErrors(one!.errors, 'fills'), drawnErrors(two!.errors, 'fills')))).toBeLessThan(
      0.2,
    )
    expect(
      Math.abs(correlation(drawnErrors(one!.errors, 'fills'), drawnErrors(one!.errors, 'pump_meter'))),
    ).toBeLessThan(0.2)
  })
})

describe('fills at a pump', () => {
  const fills = (...runs: FuelRun[]): Float64Array[] =>
    readFuel(runs, 'l', settings).map((r) => drawnErrors(r!.errors, 'fills'))

  it('a level too high at the end reads as fuel used, so the next run of the chain has it less', () => {
    const [first, second] = fills(run(0, {}, { fillGroup: 'a' }), run(1, {}, { fillGroup: 'a' }))
    // One fill of two is shared with opposite signs: correlation −½.
    expect(correlation(first, second)).toBeCloseTo(-0.5, 1)
    expect(Math.abs(correlation(...(fills(run(0), run(1)) as [Float64Array, Float64Array])))).toBeLessThan(0.2)
    const apart = fills(run(0, {}, { fillGroup: 'a' }), run(1, {}, { fillGroup: 'b' }))
    expect(Math.abs(correlation(apart[0], apart[1]))).toBeLessThan(0.2)
  })

  it('the chain goes by the clock, from each run to the one just before it', () => {
    for (const order of [
      [2, 0, 1],
      [2, 1, 0],
      [0, 1, 2],
    ]) {
      const read = fills(...order.map((day) => run(day, {}, { fillGroup: 'a' })))
      const [first, second, third] = [0, 1, 2].map((day) => read[order.indexOf(day)])
      expect(correlation(first, second)).toBeCloseTo(-0.5, 1)
      expect(correlation(second, third)).toBeCloseTo(-0.5, 1)
      expect(Math.abs(correlation(first, third))).toBeLessThan(0.2)
    }
  })

  it.each([Number.NaN, 0])('a run of the group with a reading of %d is no link of the chain', (fuelLitres) => {
    const runs = [run(0), run(1, {}, { fuelLitres }), run(2)].map((r) => ({ ...r, row: { ...r.row, fillGroup: 'a' } }))
    const [first, , third] = readFuel(runs, 'l', settings)
    expect(correlation(drawnErrors(first!.errors, 'fills'), drawnErrors(third!.errors, 'fills'))).toBeCloseTo(-0.5, 1)
  })

  it('0.15 l where nobody states how well a fill repeats', () => {
    const [reading] = readFuel([run(0)], 'l', claimSettings())
    expect(sd(drawnErrors(reading!.errors, 'fills'))).toBeCloseTo((Math.SQRT2 * 0.15) / 8, 2)
    const ratio =
      sd(drawnErrors(reading!.errors, 'fills')) / sd(drawnErrors(readFuel([run(0)], 'l', settings)[0]!.errors, 'fills'))
    expect(ratio).toBeCloseTo(0.15 / 0.12, 9)
  })

  it('the meter is anywhere within its tolerance: rectangular, u = a/√3 (JCGM 100, 4.3.7)', () => {
    const meter = (over: Parameters<typeof claimSettings>[0]): Float64Array =>
      drawnErrors(readFuel([run(0)], 'l', claimSettings(over))[0]!.errors, 'pump_meter')
    expect(sd(meter({}))).toBeCloseTo(0.005 / Math.sqrt(3), 5)
    expect(sd(meter({ meterTolerancePct: 2 }))).toBeCloseTo(0.02 / Math.sqrt(3), 4)
  })

  it('one pump for what has no group and one for each group, whatever the groups are called', () => {
    const meters = (...runs: FuelRun[]): string[] =>
      readFuel(runs, 'l', settings).map((r) => drawnErrors(r!.errors, 'pump_meter').slice(0, 5).join())
    const [a, b, c] = meters(run(0, {}, { fillGroup: 'a' }), run(1, {}, { fillGroup: 'a' }), run(2))
    expect(a).toBe(b)
    expect(a).not.toBe(c)
    const [renamed] = meters(run(0, {}, { fillGroup: 'z' }), run(1, {}, { fillGroup: 'z' }), run(2))
    expect(renamed).toBe(a)
    // The order of rows does not matter.
    expect(meters(run(1, {}, { fillGroup: 'a' }), run(0, {}, { fillGroup: 'a' }))[0]).toBe(a)
  })
})

describe('the temperature of fuel', () => {
  const warm = { fuelTemperatureK: 303.15 }
  const read = (runs: FuelRun[], powertrain: 'petrol' | 'diesel' = 'petrol') =>
    readFuel(runs, 'l', { ...settings, powertrain }).map((r) => r!)

  it('10 K are 1.2 % of petrol and 0.85 % of diesel', () => {
    // API MPMS 11.1, table 54B, as computed in volume.test.ts: 30 °C is 15 K above the reference.
    expect(read([run(0, {}, warm)])[0].amount / 8).toBeCloseTo(0.9818, 3)
    expect(read([run(0, {}, warm)], 'diesel')[0].amount / 8).toBeCloseTo(0.9871, 3)
  })

  it('a thermometer leaves 1 K, an unread tank 2 K, as expansion', () => {
    // 1.2e-3 per kelvin for petrol of 745 to 750 kg/m³: 1213e-6 to 1201e-6 (table 54B).
    const [known, unread] = read([run(0, {}, warm), run(1)])
    expect(sd(drawnErrors(known.errors, 'fuel_temperature'))).toBeCloseTo(1.207e-3, 5)
    expect(sd(drawnErrors(unread.errors, 'fuel_temperature'))).toBeCloseTo(2 * 1.207e-3, 5)
  })

  it('runs without a reading are taken at the mean of those with one', () => {
    const [, , unread] = read([
      run(0, {}, { fuelTemperatureK: 308.15 }),
      run(1, {}, { fuelTemperatureK: 298.15 }),
      run(2),
    ])
    const [known] = read([run(0, {}, warm)])
    expect(unread.amount).toBeCloseTo(known.amount, 12)
    expect(unread.at15C).toBe(true)
    expect(read([run(0), run(1)])[0]).toMatchObject({ amount: 8, at15C: false })
  })

  it('fuel of one day has one unread temperature; each thermometer reading its own error', () => {
    const sameDay = { startTime: 20_000 * DAY_S + 40_000, endTime: 20_000 * DAY_S + 50_000 }
    const errors = (runs: FuelRun[]): [Float64Array, Float64Array] => {
      const [a, b] = read(runs)
      return [drawnErrors(a.errors, 'fuel_temperature'), drawnErrors(b.errors, 'fuel_temperature')]
    }
    expect(correlation(...errors([run(0), run(0, sameDay)]))).toBeCloseTo(1, 9)
    expect(Math.abs(correlation(...errors([run(0), run(1)])))).toBeLessThan(0.2)
    expect(Math.abs(correlation(...errors([run(0, {}, warm), run(0, sameDay, warm)])))).toBeLessThan(0.2)
  })
})

describe('the energy of fuel', () => {
  const sameDay = { startTime: 20_000 * DAY_S + 40_000, endTime: 20_000 * DAY_S + 50_000 }
  const errors = (unit: 'l' | 'kg' | 'kWh', row: Partial<FuelRun['row']>): Float64Array[] =>
    readFuel([run(0, {}, row), run(0, sameDay, row), run(1, {}, row)], unit, settings).map((reading) =>
      drawnErrors(reading!.errors, 'fuel_batch'),
    )

  it('differs from day to day, not within a day', () => {
    const [one, other, nextDay] = errors('l', {})
    // The size is common practice, no source.
    expect(sd(one)).toBeCloseTo(0.007, 6)
    expect(correlation(one, other)).toBeCloseTo(1, 9)
    expect(Math.abs(correlation(one, nextDay))).toBeLessThan(0.2)
    expect(sd(errors('kg', { fuelLitres: Number.NaN, fuelKg: 6 })[0])).toBeCloseTo(0.0035, 6)
  })

  it('is that of all kilowatt hours', () => {
    const [charge] = errors('kWh', { fuelLitres: Number.NaN, energyKwh: 18 })
    expect(charge.every((e) => e === 0)).toBe(true)
  })
})

describe('conditions', () => {
  const drawn = (level: number, name: number): Float64Array =>
    Float64Array.from({ length: 400 }, (_, k) => level * Math.exp(0.05 * Math.sin(k * name + 1)))
  const consumptions = (runs: FuelRun[], baseline: string | null = 'bare') =>
    consumptionsOf(runs, 'l', baseline, settings)

  it('a draw of the error added to the adjusted value is the value of that draw', () => {
    const [bare, part] = [
      run(0, { demandDraws: drawn(1000, 1) }),
      run(1, { setup: 'part', demandDraws: drawn(1200, 2) }),
    ]
    const found = consumptions([bare, part])[1]
    for (const k of [0, 7, 399]) {
      const atDraw = found.logRaw - Math.log(part.demandDraws![k] / bare.demandDraws![k])
      expect(found.logAdjusted + found.conditions![k]).toBeCloseTo(atDraw, 12)
    }
    expect(mean(found.conditions!)).toBeCloseTo(0, 12)
  })

  it('the reference is the mean logarithm over the baseline’s runs of the route, those left out apart', () => {
    const level = (demand: number, day: number, over: Partial<FuelRun> = {}): FuelRun =>
      run(day, { demandDraws: new Float64Array(400).fill(demand), ...over })
    const runs = [
      level(1000, 0),
      level(1210, 1),
      level(5000, 2, { leftOut: { code: 'wet' } }),
      level(7000, 3, { route: 1 }),
      level(900, 4, { setup: 'part' }),
      level(3000, 5, { demandDraws: null }),
    ]
    // √(1000·1210) = 1100.
    const part = consumptions(runs)[4]
    expect(part.logRaw - part.logAdjusted).toBeCloseTo(Math.log(900 / 1100), 12)
    // Where the baseline has no run on the route all of its runs are the reference: √(800·1250) = 1000.
    const elsewhere = [level(800, 0, { setup: 'x' }), level(1250, 1, { setup: 'y' })]
    const [x] = consumptions(elsewhere)
    expect(x.logRaw - x.logAdjusted).toBeCloseTo(Math.log(0.8), 12)
    const apart = consumptions([...runs, level(7700, 6, { route: 1, setup: 'part' })])
    const there = apart[apart.length - 1]
    expect(there.logRaw - there.logAdjusted).toBeCloseTo(Math.log(1.1), 12)
  })

  it('a demand that is not above 0 in every draw has no logarithm: such a run is raw only', () => {
    const downhill = new Float64Array(400).fill(1000)
    downhill[7] = 0
    const [bare, odd] = consumptions([run(0), run(1, { demandDraws: downhill })])
    expect(odd.conditions).toBeNull()
    expect(odd.logAdjusted).toBeNaN()
    expect(bare.logAdjusted).toBeCloseTo(bare.logRaw, 12)
    expect(consumptions([run(0, { demandDraws: downhill })])[0].conditions).toBeNull()
    // A route whose only reference is left out has none.
    const [alone] = consumptions([run(0, { leftOut: { code: 'wet' } })])
    expect(alone.conditions).toBeNull()
  })
})

describe('distance', () => {
  const of = (runs: FuelRun[]) => consumptionsOf(runs, 'l', 'bare', settings)

  it('a run without any is left away', () => {
    expect(of([run(0, { distanceM: Number.NaN }), run(1, { distanceM: 0 })])).toEqual([])
    expect(of([run(0, { distanceM: Number.NaN }, { odometerM: 0 })])).toEqual([])
  })

  it('GPS is good to 0.15 %, an odometer to 0.5 %, each run’s for itself', () => {
    const [gps, other, odometer] = of([run(0), run(1), run(2, { distanceM: Number.NaN }, { odometerM: 90_000 })])
    expect(sd(drawnErrors(gps.errors, 'distance'))).toBeCloseTo(0.0015, 9)
    expect(sd(drawnErrors(odometer.errors, 'distance'))).toBeCloseTo(0.005, 9)
    expect([gps.distanceBy, odometer.distanceBy]).toEqual(['gps', 'odometer'])
    expect(
      Math.abs(correlation(drawnErrors(gps.errors, 'distance'), drawnErrors(other.errors, 'distance'))),
    ).toBeLessThan(0.2)
    expect(odometer.logRaw).toBeCloseTo(Math.log(8 / 90_000), 12)
  })

  it('an odometer that agrees within 2 % leaves no more doubt', () => {
    const doubt = (odometerM: number): number => sd(drawnErrors(of([run(0, {}, { odometerM })])[0].errors, 'distance'))
    expect(doubt(101_900)).toBeCloseTo(0.0015, 9)
    expect(doubt(98_100)).toBeCloseTo(0.0015, 9)
    expect(doubt(104_000)).toBeCloseTo(0.02, 9)
    expect(doubt(94_000)).toBeCloseTo(0.03, 9)
  })

  it('what the odometer is always off is the median over three runs and more', () => {
    const ratios = (...values: number[]): number =>
      odometerRatio(values.map((r, i) => run(i, {}, { odometerM: r * 1e5 })))
    expect(ratios(1.05, 1.01)).toBe(1)
    expect(ratios(1.05, 1.01, 1.02)).toBeCloseTo(1.02, 12)
    expect(ratios(1.05, 1.01, 1.02, 1.04)).toBeCloseTo(1.03, 12)
    // Runs without one of the two say nothing.
    expect(ratios(1.05, 1.01, Number.NaN)).toBe(1)
    expect(ratios(1.05, 1.01, 0)).toBe(1)
    expect(odometerRatio([0, 1, 2].map((i) => run(i, { distanceM: 0 }, { odometerM: 1e5 })))).toBe(1)
  })
})

describe('the fuel of one day', () => {
  it('is that of the day by the clock of the campaign', () => {
    // 09:30 and 10:30 in Brisbane (UTC+10 all year) are 23:30 UTC and 00:30 UTC of the next day.
    const [first, second] = [-1800, 1800].map((s) => ({
      startTime: 20_000 * DAY_S + s,
      endTime: 20_000 * DAY_S + s + 900,
    }))
    const names = (utcOffsetS?: number): string[][] =>
      readFuel([run(0, { ...first, utcOffsetS }), run(0, { ...second, utcOffsetS })], 'l', settings).map((reading) =>
        reading!.errors.filter((e) => /^fuel_(batch|temperature)$/.test(e.source)).map((e) => e.name),
      )
    const [here, hereToo] = names(36_000)
    expect(here).toEqual(hereToo)
    expect(here.length).toBe(2)
    const [utc, utcToo] = names()
    expect(utc[0]).not.toBe(utcToo[0])
    expect(utc[1]).not.toBe(utcToo[1])
  })
})

describe('draws belong to a run by its clock', () => {
  it('and by its distance where two began at one instant', () => {
    expect(drawKey(run(0))).toBe(drawKey(run(0, { id: 'renamed', setup: 'part' })))
    expect(drawKey(run(0))).not.toBe(drawKey(run(0, { distanceM: 99_000 })))
    expect(drawKey(run(0))).not.toBe(drawKey(run(1)))
  })
})
