import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { present } from '../../src/base/present.ts'
import { motionsIn } from '../../src/campaign/load/drive-source.ts'
import { readInputs } from '../../src/campaign/load/inputs.ts'
import type { InputFile } from '../../src/campaign/load/map-file.ts'
import { mapParts } from '../../src/campaign/load/map-parts.ts'
import { runsOf } from '../../src/campaign/load/runs.ts'
import { DAY_START, exampleDay, ONE_DRIVE } from '../simulator/example-days.ts'
import { folderFiles, inputFile, reportOf } from './folder.ts'
import { fillsCsv, simulatedLog } from './simulated-log.ts'

/** Several tables of one kind in one folder. What they say together is held against one table that says it. */
const tracks = [0, 1, 2].map((day) =>
  inputFile(`d${day}.gpx`, exampleDay(ONE_DRIVE, { startS: DAY_START + day * 86_400 }).gpx),
)
const mappedTracks = Promise.all(tracks.map(mapParts))

async function loaded(tables: Record<string, string>) {
  const files = Object.entries(tables).map(([path, text]) => inputFile(path, `${text}\n`))
  const mapped = [...(await mappedTracks).flat(), ...(await Promise.all(files.map(mapParts))).flat()]
  const inputs = await readInputs(mapped)
  const { runs, problems } = runsOf(mapped, { ...inputs, gates: [], timeZone: null }, motionsIn(mapped))
  const all = [
    ...mapped.flatMap((f) => f.problems.map((p) => ({ ...p, file: f.path }))),
    ...inputs.problems,
    ...problems,
  ]
  return {
    rows: runs.map(({ row }) => row && [row.setup, row.fuelLitres, row.file, row.line]),
    row: (i: number) => present(runs[i].row),
    said: all.map(({ code, severity, file, line }) => `${severity} ${code} ${file}:${line ?? ''}`),
    message: (code: string) => all.find((p) => p.code === code)?.message ?? '',
    inputs,
  }
}

describe('several tables of drives', () => {
  it('are one, whatever their columns, and each row keeps its file and line', async () => {
    const { rows, said } = await loaded({
      'april.csv': 'track,setup,fuel_l\nd0.gpx,bare,5',
      'march.csv': 'Config;File;Fuel (l)\nladders;d1.gpx;6,5\nladders;d9.gpx;7',
    })
    expect(rows).toEqual([['bare', 5, 'april.csv', 2], ['ladders', 6.5, 'march.csv', 2], null])
    expect(said).toContain('note tables-joined april.csv:')
    expect(said).toContain('error row-without-track march.csv:3')
    expect(said.filter((one) => one.startsWith('error'))).toHaveLength(1)
  })

  it('that say a row twice count it once, with a note', async () => {
    const { rows, said, message } = await loaded({
      'a.csv': 'track,setup,fuel_l\nd0.gpx,bare,5\nd1.gpx,bare,6',
      // The same amount in another unit: 5 l are 1.320860 US gallons by definition (NIST SP 811, appendix B.8).
      'b.csv': 'track,setup,fuel_gal_us\nD0,bare,1.32086026\nd2.gpx,bare,1.5',
    })
    expect(rows.map((row) => row?.slice(2))).toEqual([
      ['a.csv', 2],
      ['a.csv', 3],
      ['b.csv', 3],
    ])
    expect(said.filter((one) => /error|warning/.test(one))).toEqual([])
    expect(said).toContain('note row-said-twice b.csv:2')
    expect(message('row-said-twice')).toContain('line 2 of a.csv')
  })

  it('fill in what is empty in one another, and say which columns', async () => {
    const { row, rows, message } = await loaded({
      'fuel.csv': 'track,setup,fuel_l,note\nd0.gpx,bare,5,dry',
      'tyres.csv': 'track,tyre_pressure_bar,payload_kg,note\nd0.gpx,2.4,80,new tyres',
    })
    expect(rows[0]).toEqual(['bare', 5, 'fuel.csv', 2])
    expect([row(0).tyrePressurePa, row(0).payloadKg, row(0).note]).toEqual([240_000, 80, 'dry; new tyres'])
    expect(message('rows-joined')).toContain('payload_kg, tyre_pressure_kpa, note')
  })

  it('that contradict each other are an error, and neither is believed in that', async () => {
    const { row, said, message } = await loaded({
      'a.csv': 'track,setup,fuel_l,payload_kg\nd0.gpx,bare,5,80',
      'b.csv': 'track,setup,fuel_l\nd0.gpx,ladders,5.4',
      'c.csv': 'track,fuel_l\nd0.gpx,5',
    })
    expect([row(0).setup, row(0).fuelLitres, row(0).payloadKg]).toEqual([null, Number.NaN, 80])
    expect(said.filter((one) => one.startsWith('error'))).toEqual([
      'error row-repeated b.csv:2',
      'error row-repeated c.csv:2',
    ])
    expect(message('row-repeated')).toContain(
      'line 2 of a.csv, and they contradict each other: fuel_l 5 there and 5.4 here, setup "bare" there and "ladders" here',
    )
  })

  it('of two rows by times of one drive the nearer one counts, and the other is not used', async () => {
    // The drive of the example begins at 07:00 UTC; a second one at 07:20 was not recorded.
    const { rows, said } = await loaded({
      'a.csv': 'date,time,setup,consumption_l_per_100km\n2026-05-12,07:20,ladders,7.5\n2026-05-12,07:01,bare,6.2',
    })
    expect(rows[0]?.[0]).toBe('bare')
    expect(said.filter((one) => one.startsWith('error'))).toEqual(['error row-repeated a.csv:2'])
  })

  it('with a control vehicle and fuel alone count a run once', async () => {
    const rows =
      'date,time,vehicle,control,setup,fuel_kg\n2026-06-04,08:00,truck,,bare,21.90\n2026-06-04,08:00,other,yes,,21.42'
    const { inputs, said } = await loaded({ 'a.csv': rows, 'b.csv': `${rows}\n2026-06-06,08:00,truck,,skirts,20.95` })
    expect(inputs.fuelAlone.map(({ file, line }) => [file, line])).toEqual([
      ['a.csv', 2],
      ['a.csv', 3],
      ['b.csv', 4],
    ])
    expect(said).toContain('note row-said-twice b.csv:2')
  })
})

describe('a workbook with a sheet for each part of the month', () => {
  const without = (files: InputFile[]): InputFile[] => files.filter(({ path }) => path !== 'runs.csv')

  it.each(['xlsx', 'ods'])('gives the claims of one table (%s of an office suite)', async (ending) => {
    const sample = folderFiles('samples/ladder-van')
    const book = inputFile(`months.${ending}`, readFileSync(`test/data/spreadsheets/months.${ending}`))
    const settings = { draws: 60 }
    const [one, several] = [await reportOf(sample, settings), await reportOf([...without(sample), book], settings)]
    const told = (claims: typeof one.claims) =>
      claims.map((claim) => [claim.setup, claim.runs, claim.verdict, claim.adjusted_consumption_change_pct])
    expect(told(several.claims)).toEqual(told(one.claims))
    const said = several.problems.map(({ code, severity, path, line }) => `${severity} ${code} ${path}:${line ?? ''}`)
    expect(said.filter((text) => text.startsWith('error'))).toEqual([])
    expect(said).toContain(`note tables-joined months.${ending}#First half:`)
    expect(said).toContain(`note row-said-twice months.${ending}#Second half:2`)
    // Neither of the other sheets is passed over without a word.
    expect(said).toContain(`warning unrecognised months.${ending}#Totals:`)
    expect(said).toContain(`note unrecognised months.${ending}#Notes:`)
  })
})

describe('several fuel logs', () => {
  const log = simulatedLog({ seed: 'plain', each: 3, dragPct: -15 })
  const [header, ...rows] = fillsCsv(log.fills).trim().split('\n')
  const csv = (lines: string[]): string => `${[header, ...lines].join('\n')}\n`
  const half = rows.length >> 1
  const reportWith = (files: Record<string, string>) =>
    reportOf([...log.files, ...Object.entries(files).map(([path, text]) => inputFile(path, text))], { draws: 60 })

  it('of one vehicle are one log, a fill that stands in both counts once', async () => {
    const one = await reportWith({ 'fills.csv': csv(rows) })
    const two = await reportWith({ 'b.csv': csv(rows.slice(0, half + 1)), 'c.csv': csv(rows.slice(half)) })
    expect(two.consumption.map(({ amount, share }) => [amount, share])).toEqual(
      one.consumption.map(({ amount, share }) => [amount, share]),
    )
    expect(two.fills.map(({ file, line }) => [file, line])).toEqual([
      ...rows.slice(0, half + 1).map((_, i) => ['b.csv', i + 2]),
      ...rows.slice(half + 1).map((_, i) => ['c.csv', i + 3]),
    ])
    const codes = two.problems.map(({ code, path }) => `${code} ${path}`)
    expect(codes).toContain('tables-joined b.csv')
    expect(codes).toContain('row-said-twice c.csv')
  })

  it('that contradict each other leave the fill out, and what was used up to the next one open', async () => {
    const at = header.split(',').indexOf('fuel_l')
    const changed = rows[half].split(',').map((cell, i) => (i === at ? String(Number(cell) + 1) : cell))
    const two = await reportWith({ 'b.csv': csv(rows), 'c.csv': csv([changed.join(',')]) })
    expect(two.problems.map(({ code, path, line }) => `${code} ${path}:${line}`)).toContain('fills-contradict c.csv:2')
    expect(two.fills).toHaveLength(rows.length - 1)
    expect(two.consumption.filter(({ reason_code: code }) => code === 'fill-missed')).toHaveLength(1)
  })

  it('of two vehicles are not joined', async () => {
    const at = header.split(',').indexOf('odometer_km')
    const other = rows.map((row) =>
      row
        .split(',')
        .map((cell, i) => (i === at ? String(Number(cell) + 90_000) : cell))
        .join(','),
    )
    const one = await reportWith({ 'fills.csv': csv(rows) })
    const two = await reportWith({ 'a.csv': csv(rows), 'b.csv': csv(other) })
    expect(two.problems.find(({ path }) => path === 'b.csv')).toMatchObject({
      code: 'fuel-log-of-another-vehicle',
      severity: 'error',
    })
    expect(two.consumption.map(({ amount }) => amount)).toEqual(one.consumption.map(({ amount }) => amount))
  })

  it('without an odometer are joined one behind the other, and not in turn', async () => {
    const plain = (list: string[]): string =>
      csv(
        list.map((row) =>
          row
            .split(',')
            .map((cell, i) => (header.split(',')[i] === 'odometer_km' ? '' : cell))
            .join(','),
        ),
      )
    const behind = await reportWith({ 'a.csv': plain(rows.slice(0, half)), 'b.csv': plain(rows.slice(half)) })
    expect(behind.fills).toHaveLength(rows.length)
    const odd = rows.filter((_, i) => i % 2 === 1)
    const inTurn = await reportWith({ 'a.csv': plain(rows.filter((row) => !odd.includes(row))), 'b.csv': plain(odd) })
    expect(inTurn.fills).toHaveLength(rows.length - odd.length)
    expect(inTurn.problems.map(({ code, path }) => `${code} ${path}`)).toContain('fuel-log-of-another-vehicle b.csv')
  })
})
