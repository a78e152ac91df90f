import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { mapParts } from '../../src/campaign/load/map-parts.ts'
import { readRunsTable } from '../../src/read/runs/runs-table.ts'

const sample = readRunsTable(readFileSync('samples/ladder-van/runs.csv', 'utf8'))

describe('totals between the rows of a table', () => {
  it.each(['xlsx', 'ods', 'csv'])('are no drives, and are told (%s of an office suite)', async (ending) => {
    const bytes = new Uint8Array(readFileSync(`test/data/spreadsheets/subtotals.${ending}`))
    const [{ text }] = await mapParts({ path: `t.${ending}`, bytes, sha256: 'x' })
    const { value, problems } = readRunsTable(text ?? '')
    const told = (table: typeof sample) =>
      table.value?.rows.map(({ track, setup, fuelLitres }) => [track, setup, fuelLitres])
    expect(told({ value, problems })).toEqual(told(sample))
    const said = problems.filter(({ severity }) => severity !== 'error')
    expect(said.find(({ code }) => code === 'table-subtotal')).toMatchObject({ severity: 'note', line: 6 })
    expect(said.filter(({ code }) => code === 'table-foot').map(({ line }) => line)).toEqual([13, 14])
    expect(problems.filter(({ severity }) => severity === 'error')).toEqual([])
  })

  it.each([
    ['Subtotal March', ''],
    ['sub total', ''],
    ['March subtotal:', ''],
    ['Total March', ''],
    ['Zwischensumme', ''],
    ['Übertrag', ''],
    ['Sous-total mars', ''],
  ])('are known as "%s"', (first) => {
    const csv = `track,setup,fuel_l\na.gpx,x,5\n${first},,5\nb.gpx,x,6\nc.gpx,x,6\n`
    expect(readRunsTable(csv).value?.rows.map(({ line }) => line)).toEqual([2, 4, 5])
  })

  it.each(['min.gpx', 'total.gpx', 'sum of it.gpx', 'max', 'mean', 'Subtotalia'])(
    'a drive called "%s" is one',
    (first) => {
      const csv = `track,setup,fuel_l,note\na.gpx,x,5,\n${first},x,5,\nb.gpx,x,6,\nc.gpx,x,6,\n`
      expect(readRunsTable(csv).value?.rows).toHaveLength(4)
    },
  )

  it('a table of nothing else keeps its rows', () => {
    const csv = 'name,fuel_l,track\nx,5,\nTotal a,5,\nTotal b,6,\nTotal c,7,\n'
    expect(readRunsTable(csv).problems.map(({ code }) => code)).not.toContain('table-subtotal')
  })
})
