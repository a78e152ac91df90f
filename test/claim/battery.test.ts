import { describe, expect, it } from 'vitest'
import {
  BATTERY,
  chargeErrors,
  withBatteryEnergy,
  withBatteryInFuel,
  withElectricityInFuel,
} from '../../src/claim/fuel/battery.ts'
import { spansOf } from '../../src/claim/fuel/fill-spans.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import type { BatterySettings } from '../../src/read/campaign/settings.ts'
import { readFillsTable } from '../../src/read/runs/fills-table.ts'
import { emptyRow } from './synthetic-campaign.ts'

/** Energy by the battery's charge, and fuel of hybrids; expected figures by hand from the definitions named. */
const NOTHING: BatterySettings = {
  capacityKwh: null,
  capacitySdKwh: null,
  chargingEfficiency: null,
  litresPerKwh: null,
  chargeSdKwh: null,
}
const PACK: BatterySettings = { ...NOTHING, capacityKwh: 40, capacitySdKwh: 1 }
const run = (row: Parameters<typeof emptyRow>[0], id = 'a'): FuelRun => ({
  id,
  route: 0,
  setup: 'bare',
  startTime: id.charCodeAt(0),
  endTime: 4000,
  distanceM: 100_000,
  row: emptyRow(row),
  demandDraws: null,
  nominalDemandJPerM: Number.NaN,
  nominalDragJPerM: Number.NaN,
  leftOut: null,
})
const sdOf = ({ batteryErrors = [] }: FuelRun, name: RegExp): number =>
  batteryErrors.find((error) => name.test(error.name))?.sd ?? Number.NaN

describe('an electric drive with its state of charge', () => {
  it('used the capacity times the change, known to the step of the reading', () => {
    const [drive] = withBatteryEnergy([run({ socBefore: 0.9, socAfter: 0.4 })], PACK)
    expect(drive.row.energyKwh).toBeCloseTo(20, 9)
    // JCGM 100:2008, 4.3.7: a reading in steps of 1 % is known to 1 %/√12, two of them to √2 times that.
    expect(sdOf(drive, /charge-read/)).toBeCloseTo((0.01 * Math.SQRT2) / Math.sqrt(12) / 0.5, 9)
    // 1 of 40 kWh, the same for all drives of this battery: it cancels between setups.
    expect(sdOf(drive, /battery-capacity/)).toBeCloseTo(1 / 40, 9)
  })

  it('is brought to the meter where other drives have energy at it', () => {
    const drives = withBatteryEnergy([run({ socBefore: 0.9, socAfter: 0.4 }), run({ energyKwh: 22 }, 'b')], {
      ...PACK,
      chargingEfficiency: { value: 0.9, sd: 0.02 },
    })
    expect(drives.map(({ row }) => row.energyKwh.toFixed(2))).toEqual(['22.22', '22.00'])
    expect(sdOf(drives[0], /charging-efficiency/)).toBeCloseTo(0.02 / 0.9, 9)
  })

  it('has no energy without a capacity, or where the charge rose', () => {
    expect(withBatteryEnergy([run({ socBefore: 0.9, socAfter: 0.4 })], NOTHING)[0].row.energyKwh).toBeNaN()
    expect(withBatteryEnergy([run({ socBefore: 0.4, socAfter: 0.9 })], PACK)[0].row.energyKwh).toBeNaN()
  })

  it('reads finer steps as finer', () => {
    const [drive] = withBatteryEnergy([run({ socBefore: 0.905, socAfter: 0.405 })], PACK)
    expect(sdOf(drive, /charge-read/)).toBeCloseTo((0.001 * Math.SQRT2) / Math.sqrt(12) / 0.5, 9)
  })
})

describe('the fuel of a hybrid', () => {
  const small: BatterySettings = { ...NOTHING, capacityKwh: 1.5, capacitySdKwh: 0.05 }

  it('gets what the battery gave, and loses what it took', () => {
    const [gave, took, same] = withBatteryInFuel(
      [
        run({ fuelLitres: 4, socBefore: 0.7, socAfter: 0.5 }),
        run({ fuelLitres: 4, socBefore: 0.5, socAfter: 0.7 }),
        run({ fuelLitres: 4, socBefore: 0.6, socAfter: 0.6 }),
      ],
      small,
    )
    // 0.3 kWh are 1.08 MJ; with the Willans factor of UN GTR 15 (0.0745 l/MJ, from memory) over 0.8: 0.1006 l.
    expect(gave.row.fuelLitres).toBeCloseTo(4.1006, 4)
    expect(took.row.fuelLitres).toBeCloseTo(3.8994, 4)
    expect(same.row.fuelLitres).toBe(4)
    expect(sdOf(same, /battery-to-fuel/)).toBe(0)
    // Capacity 3.3 % and conversion 15 %, together 15.4 % of the 0.1006 l.
    expect(sdOf(gave, /battery-to-fuel/)).toBeCloseTo((0.1006 / 4.1006) * Math.hypot(0.15, 1 / 30), 5)
  })

  it('stays as it is where the charge or the capacity is not known', () => {
    expect(withBatteryInFuel([run({ fuelLitres: 4 })], small)[0]).not.toHaveProperty('batteryErrors')
    expect(withBatteryInFuel([run({ fuelLitres: 4, socBefore: 0.7, socAfter: 0.5 })], NOTHING)[0].row.fuelLitres).toBe(
      4,
    )
  })

  it('takes the litres for a kilowatt hour that campaign.yaml states', () => {
    const stated = { ...small, litresPerKwh: { value: 0.4, sd: 0.02 } }
    const [drive] = withBatteryInFuel([run({ fuelLitres: 4, socBefore: 0.7, socAfter: 0.5 })], stated)
    expect(drive.row.fuelLitres).toBeCloseTo(4 + 0.3 * 0.4, 9)
  })
})

describe('a charge of which the repeatability is stated', () => {
  const stated: BatterySettings = { ...NOTHING, chargeSdKwh: 0.5 }

  it('counts so beside the fuel of a plug-in hybrid and between states of charge, as it does alone', () => {
    const [drive] = withElectricityInFuel([run({ fuelLitres: 2, energyKwh: 10 })], stated)
    // 10 kWh at the meter, 0.88 of it in the battery, 0.335 l for each of those (docs/files.md).
    const part = (10 * 0.88 * 0.33525) / (2 + 10 * 0.88 * 0.33525)
    expect(sdOf(drive, /^charge\//)).toBeCloseTo(part * 0.05, 6)
    const ends = { openingSoc: 0.9, closingSoc: 0.9, openingName: 'a', closingName: 'b' }
    const errors = chargeErrors({ amount: 10, ...ends }, { ...stated, capacityKwh: 40 })
    expect(errors.find(({ name }) => name === 'charge/b')?.sd).toBeCloseTo(0.05, 12)
  })
})

describe('charges in a log', () => {
  const spans = (text: string, battery: BatterySettings) => {
    const { value } = readFillsTable(text, null)
    return spansOf(value?.rows ?? [], battery).map(({ amount, charge }) => [amount.toFixed(2), charge])
  }
  const log = `time,energy_kwh,soc_after_pct
2026-05-01T18:00Z,20,100
2026-05-02T18:00Z,11,80
2026-05-03T18:00Z,25,100
`

  it('are carried to the next full one where the capacity is not known', () => {
    expect(spans(log, NOTHING)).toEqual([['36.00', null]])
  })

  it('end where the state of charge was read, with what is missing in the battery', () => {
    // Of 40 kWh 20 % are 8 kWh in the battery, at 0.88 (the usual efficiency) 9.09 kWh at the meter.
    expect(BATTERY.chargingEfficiency.value).toBe(0.88)
    expect(spans(log, PACK)).toEqual([
      [(11 + 8 / 0.88).toFixed(2), { opening: 1, closing: 0.8 }],
      [(25 - 8 / 0.88).toFixed(2), { opening: 0.8, closing: 1 }],
    ])
  })

  it('into the battery are brought to the meter', () => {
    const text = 'time,battery_energy_kwh\n2026-05-01T18:00Z,20\n2026-05-02T18:00Z,8.8\n'
    expect(spans(text, NOTHING)).toEqual([['10.00', null]])
  })
})
