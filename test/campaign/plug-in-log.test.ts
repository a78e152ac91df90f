import { beforeAll, describe, expect, it } from 'vitest'
import { present } from '../../src/base/present.ts'
import { BATTERY } from '../../src/claim/fuel/battery.ts'
import { isOfPlugIn } from '../../src/claim/fuel/fill-spans.ts'
import { readFillsTable } from '../../src/read/runs/fills-table.ts'
import type { Report } from '../../src/report/contract.ts'
import { inputFile, reportOf } from './folder.ts'
import { fillsCsv, simulatedLog } from './simulated-log.ts'

/**
 * A plug-in hybrid's log, fuel and charges in one table. Of each drive of a simulated log a part of the fuel is replaced by
 * the electricity that stands for it, so that the change must come out as by the fuel of the log as it was.
 */
const log = simulatedLog({ seed: 'plain', each: 3, dragPct: -15 })
const files = log.files.map((file) =>
  file.path === 'campaign.yaml'
    ? inputFile(
        file.path,
        new TextDecoder()
          .decode(file.bytes)
          .replace('powertrain: diesel', 'powertrain: hybrid, battery_capacity_kwh: 12'),
      )
    : file,
)
const LITRES_PER_METERED_KWH = BATTERY.litresPerKwh.value * BATTERY.chargingEfficiency.value
/** Another part for each drive: a log that forgets the electricity is far off. */
const parts = log.fills.map((_, i) => (i === 0 ? 0 : [0.6, 0.2, 0.1, 0.5, 0.3, 0.4][i % 6]))
const iso = (seconds: number): string => new Date(1000 * seconds).toISOString()
const table = (soc: string): string => {
  const rows = log.fills.flatMap(({ timeS, odometerM, litres, setup }, i) => {
    const km = (odometerM / 1000).toFixed(0)
    const kwh = (litres * parts[i]) / LITRES_PER_METERED_KWH
    const charge = i === 0 ? [] : [`${iso(timeS - 600)},${km},,${kwh.toFixed(3)},yes,,${setup},`]
    return [...charge, `${iso(timeS)},${km},${(litres * (1 - parts[i])).toFixed(3)},,yes,corner,${setup},${soc}`]
  })
  return `time,odometer_km,fuel_l,energy_kwh,full,pump,setup,soc_after_pct\n${rows.join('\n')}\n`
}
const report = (csv: string): Promise<Report> => reportOf([...files, inputFile('fills.csv', csv)], { draws: 200 })
const changeOf = ({ claims }: Report) => present(present(claims[0]).adjusted_consumption_change_pct)
const width = ({ low95, high95 }: ReturnType<typeof changeOf>): number => high95 - low95

describe('a plug-in hybrid’s log', () => {
  let [asFuel, read, unread]: Report[] = []
  beforeAll(async () => {
    asFuel = await report(fillsCsv(log.fills))
    read = await report(table('100'))
    unread = await report(table(''))
  }, 120_000)

  it('counts fuel and electricity together, as the same energy in fuel alone', () => {
    // The amounts are the same to a hundredth of a litre; the conversion’s doubt is nearly common to both setups.
    expect(Math.abs(changeOf(read).estimate - changeOf(asFuel).estimate)).toBeLessThan(0.5)
    expect(changeOf(read).low95).toBeLessThan(log.truePct)
    expect(changeOf(read).high95).toBeGreaterThan(log.truePct)
  })

  it('has a wider interval where nobody read how full the battery was at the fills', () => {
    expect(width(changeOf(unread))).toBeGreaterThan(1.2 * width(changeOf(read)))
    expect(changeOf(unread).low95).toBeLessThan(log.truePct)
    expect(changeOf(unread).high95).toBeGreaterThan(log.truePct)
  })

  it('is told, and neither part is left out without a word', () => {
    expect(read.problems.filter(({ severity }) => severity === 'error')).toEqual([])
    const codes = read.problems.map(({ code }) => code)
    expect(codes).toContain('electricity-in-fuel')
    expect(codes).not.toContain('fuel-and-electricity')
    expect(read.claims[0].caution_codes.map(({ code }) => code)).not.toContain('battery-not-known')
    const fuel = read.consumption.filter(({ unit }) => unit === 'l')
    for (const [i, { charged_kwh: kwh }] of fuel.entries()) {
      const { litres } = log.fills[i + 1]
      // Written down to a thousandth.
      expect(Math.abs(present(kwh) - (litres * parts[i + 1]) / LITRES_PER_METERED_KWH)).toBeLessThan(0.001)
    }
    expect(fuel).toHaveLength(log.fills.length - 1)
    const charges = read.consumption.filter(({ unit }) => unit === 'kWh')
    expect(new Set(charges.map(({ reason_code: code }) => code))).toEqual(new Set(['beside-fuel']))
  })

  it('with fuel and charge in one row and both readings of the battery counts each charge once', async () => {
    const rows = log.fills.map(({ timeS, odometerM, litres, setup }, i) => {
      const kwh = (litres * parts[i]) / LITRES_PER_METERED_KWH
      const before = 100 * (1 - (kwh * BATTERY.chargingEfficiency.value) / 100)
      const amounts = `${(litres * (1 - parts[i])).toFixed(3)},${i === 0 ? '' : kwh.toFixed(3)}`
      return `${iso(timeS)},${(odometerM / 1000).toFixed(0)},${amounts},yes,corner,${setup},${before.toFixed(1)},100`
    })
    const head = 'time,odometer_km,fuel_l,energy_kwh,full,pump,setup,soc_before_pct,soc_after_pct'
    const [settings, ...others] = [...files].sort((a) => (a.path === 'campaign.yaml' ? -1 : 1))
    const yaml = new TextDecoder().decode(settings.bytes).replace('capacity_kwh: 12', 'capacity_kwh: 100')
    const both = await reportOf(
      [inputFile('campaign.yaml', yaml), ...others, inputFile('fills.csv', `${head}\n${rows.join('\n')}\n`)],
      { draws: 200 },
    )
    const used = ({ runs }: Report) => runs.map(({ consumption }) => present(consumption?.per_100_km))
    // Readings to a tenth of a percent of 100 kWh are some 0.03 l at either end.
    for (const [i, litres] of used(both).entries()) expect(Math.abs(litres / used(asFuel)[i] - 1)).toBeLessThan(0.02)
  })

  it('without tracks too is compared on both', async () => {
    const settings = files.filter(({ path }) => path === 'campaign.yaml')
    const alone = await reportOf([...settings, inputFile('fills.csv', table('100'))], { draws: 200 })
    const fuel = await reportOf([...settings, inputFile('fills.csv', fillsCsv(log.fills))], { draws: 200 })
    const raw = ({ claims }: Report) => present(present(claims[0]).raw_consumption_change_pct).estimate
    expect(Math.abs(raw(alone) - raw(fuel))).toBeLessThan(0.5)
  })
})

it('a row of drives with both counts as the fuel that both stand for', async () => {
  const rows = log.fills.slice(1).map(({ litres, setup }, i) => {
    const part = parts[i + 1]
    return `run-${i}.gpx,${setup},${(litres * (1 - part)).toFixed(3)},${((litres * part) / LITRES_PER_METERED_KWH).toFixed(3)}`
  })
  const both = await reportOf(
    [...files, inputFile('runs.csv', `track,setup,fuel_l,energy_kwh\n${rows.join('\n')}\n`)],
    { draws: 200 },
  )
  const alone = log.fills.slice(1).map(({ litres, setup }, i) => `run-${i}.gpx,${setup},${litres.toFixed(3)}`)
  const fuel = await reportOf([...files, inputFile('runs.csv', `track,setup,fuel_l\n${alone.join('\n')}\n`)], {
    draws: 200,
  })
  expect(Math.abs(changeOf(both).estimate - changeOf(fuel).estimate)).toBeLessThan(0.5)
  expect(both.problems.map(({ code }) => code)).toContain('electricity-in-fuel')
  expect(both.problems.map(({ code }) => code)).not.toContain('fuel-and-electricity')
})

it('fuel of one vehicle and charges of another in one log are not taken together', () => {
  const rows = [0, 1, 2, 3].flatMap((day) => {
    const at = (hour: number): string => new Date(Date.UTC(2026, 4, 4 + day, hour)).toISOString()
    return [`${at(8)},${10_000 + 400 * day},30,`, `${at(18)},${52_000 + 200 * day},,36`]
  })
  const csv = (list: string[]): string => `time,odometer_km,fuel_l,energy_kwh\n${list.join('\n')}\n`
  const fills = (list: string[]) => present(readFillsTable(csv(list), null).value).rows
  expect(isOfPlugIn(fills(rows))).toBe(false)
  const one = rows.map((row) => row.replace(/,52(\d+),/, (_, km) => `,${10_200 + 2 * Number(km)},`))
  expect(isOfPlugIn(fills(one))).toBe(true)
  expect(isOfPlugIn(fills(one), 'electric')).toBe(false)
})
