import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { mapParts } from '../../src/campaign/load/map-parts.ts'
import { readRunsTable } from '../../src/read/runs/runs-table.ts'
import { tablesInText } from '../../src/read/table/tables-in-text.ts'
import { isWorkbook, readWorkbook } from '../../src/read/table/workbook.ts'
import { readObservationTable } from '../../src/read/weather/csv.ts'
import { textCell, xlsxOf, zipOf } from './zip.ts'

const sample = (name: string): Uint8Array => new Uint8Array(readFileSync(`test/data/spreadsheets/${name}`))
const codes = async (bytes: Uint8Array): Promise<string[]> =>
  (await readWorkbook(bytes)).problems.map(({ code }) => code)
const row = (...cells: string[]): string => `<row>${cells.join('')}</row>`
const header = row(textCell('track'), textCell('setup'), textCell('fuel_l'))

describe('a workbook that an office suite made is the text that it was made from', () => {
  // Expected: forms.csv, typed by hand, with dates in ISO form.
  test.each(['forms.xlsx', 'forms.ods'])('%s', async (name) => {
    const { value, problems } = await readWorkbook(sample(name))
    expect(problems).toEqual([])
    expect(value?.map((sheet) => [sheet.name, sheet.problems])).toEqual([['forms', []]])
    expect(value?.[0].text.split('\n')).toEqual([
      'Fuel tests of a van\t\t\t\t\t\t',
      '',
      'track\tdate\ttime\tl\tRH\twhen\tnote',
      'a.gpx\t2026-05-04\t09:14:00\t7.34\t65%\t2026-05-04T09:14:00\t"dry, ""calm"""',
      'b.gpx\t2026-05-13\t21:14:00\t1234.5\t5%\t2026-05-13T21:14:30\t"#DIV/0!"',
      // Each form has a word of its own for an index beyond the cells.
      expect.stringMatching(/^(?:"#VALUE!"|"#REF!"|Err:502)\t\t\t0\.1\t\t\t0\.3$/),
      '',
    ])
  })
})

test('an older workbook, one with a password and one of another program are refused, and how to save them is said', async () => {
  const encrypted = Uint8Array.from(sample('forms.xls'))
  // [MS-OFFCRYPTO] 2.3.4: the stream's name, in UTF-16.
  encrypted.set(Buffer.from('EncryptedPackage', 'utf16le'), 2000)
  const odsWithPassword = zipOf([
    { name: 'mimetype', content: 'application/vnd.oasis.opendocument.spreadsheet', stored: true },
    { name: 'META-INF/manifest.xml', content: '<manifest:encryption-data/>', stored: true },
  ])
  const numbers = zipOf([{ name: 'Index/Document.iwa', content: 'x' }])
  expect(await codes(sample('forms.xls'))).toEqual(['workbook-other-kind'])
  expect(await codes(encrypted)).toEqual(['workbook-password'])
  expect(await codes(odsWithPassword)).toEqual(['workbook-password'])
  expect(await codes(numbers)).toEqual(['workbook-other-kind'])
  expect(await codes(zipOf([{ name: 'xl/workbook.bin', content: 'x' }]))).toEqual(['workbook-other-kind'])
  expect(await codes(xlsxOf(header, [], { isEncrypted: true }))).toEqual(['workbook-password'])
  const { problems } = await readWorkbook(sample('forms.xls'))
  expect(problems[0].hint).toContain('save it as .xlsx, .ods or CSV')
})

test('another archive is no workbook', () => {
  expect(isWorkbook(zipOf([{ name: 'track.kml', content: '<kml/>' }]), 'track.kmz')).toBe(false)
  expect(isWorkbook(new TextEncoder().encode('track,setup\n'), 'runs.xlsx')).toBe(false)
})

describe('hostile workbooks', () => {
  test('one that says 10 bytes and unpacks to 300 MB is refused', async () => {
    const bomb = (statedBytes: number): Uint8Array =>
      xlsxOf(header, [{ name: 'xl/media/a.bin', content: new Uint8Array(300 * 2 ** 20), statedBytes }])
    expect(await codes(bomb(10))).toEqual(['file-too-large'])
  })

  test('one that claims 4 GB and holds nothing costs no memory', async () => {
    const claims = xlsxOf(header, [{ name: 'xl/media/a.bin', content: 'x', statedBytes: 0xffffffff }])
    expect(await codes(claims)).toEqual(['file-too-large'])
  })

  test.each([
    ['cut off', sample('forms.xlsx').subarray(0, 3000)],
    ['without its directory', sample('forms.xlsx').subarray(0, -400)],
    ['with damaged data', sample('forms.xlsx').map((byte, i) => (i > 900 && i < 1400 ? 0 : byte))],
  ])('a workbook %s', async (_, bytes) => {
    expect(isWorkbook(bytes, 'book.xlsx')).toBe(true)
    expect(await codes(bytes)).toEqual(['workbook-damaged'])
  })

  test('no byte changed or lost makes it throw', async () => {
    const bytes = sample('forms.xlsx')
    for (let at = 0; at < bytes.length; at += 397) {
      const changed = bytes.map((byte, i) => (i === at ? byte ^ 0xff : byte))
      await expect(readWorkbook(changed)).resolves.toBeDefined()
    }
  })

  test('formulas: the value saved with them counts; without one the cell is empty, and that is said', async () => {
    const rows = `${header}<row>${textCell('a.gpx')}<c><f>1+1</f><v>2</v></c></row>`
    const { value } = await readWorkbook(xlsxOf(rows))
    expect(value?.[0].text).toBe('track\tsetup\tfuel_l\na.gpx\t2\t\n')
    const without = `${header}<row>${textCell('a.gpx')}<c><f>WEBSERVICE("http://localhost:1/x")</f></c></row>`
    const { value: empty } = await readWorkbook(xlsxOf(without))
    expect(empty?.[0].text).toBe('track\tsetup\tfuel_l\na.gpx\t\t\n')
    expect(empty?.[0].problems).toMatchObject([{ code: 'formula-without-value', line: 2 }])
  })

  test('a link to another workbook is a value like any other', async () => {
    const link = { name: 'xl/externalLinks/externalLink1.xml', content: '<externalLink><externalBook/></externalLink>' }
    const { value } = await readWorkbook(
      xlsxOf(`${header}<row>${textCell('a.gpx')}<c><f>[1]Sheet1!A1</f><v>7.5</v></c></row>`, [link]),
    )
    expect(value?.[0].text).toContain('a.gpx\t7.5')
  })

  test('entities are not expanded', async () => {
    const { value } = await readWorkbook(
      xlsxOf(header, [], {
        content:
          '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]><worksheet><sheetData><row><c t="inlineStr"><is><t>&b;</t></is></c></row></sheetData></worksheet>',
      }),
    )
    expect(value?.[0]?.text ?? '').not.toContain('aaaaaaaaaa')
  })

  test('a cell in the last column of the last row makes no million cells', async () => {
    const { value } = await readWorkbook(xlsxOf(`${header}<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>`))
    expect(value?.[0].text.length).toBeLessThan(1000)
  })
})

test('merged cells: a text holds for each row, a number for the first, and both are said', async () => {
  const rows =
    '<row r="1"><c r="A1" t="inlineStr"><is><t>track</t></is></c><c r="B1" t="inlineStr"><is><t>setup</t></is></c><c r="C1" t="inlineStr"><is><t>fuel_l</t></is></c></row>' +
    '<row r="2"><c r="A2" t="inlineStr"><is><t>a</t></is></c><c r="B2" t="inlineStr"><is><t>bare</t></is></c><c r="C2"><v>7</v></c></row>' +
    '<row r="3"><c r="A3" t="inlineStr"><is><t>b</t></is></c></row>'
  const content = `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>${rows}</sheetData><mergeCells><mergeCell ref="B2:B3"/><mergeCell ref="C2:C3"/></mergeCells></worksheet>`
  const { value } = await readWorkbook(xlsxOf('', [], { content }))
  expect(value?.[0].text).toBe('track\tsetup\tfuel_l\na\tbare\t7\nb\tbare\t\n')
  expect(value?.[0].problems).toMatchObject([
    { code: 'cells-merged', severity: 'note', line: 2 },
    { code: 'cells-merged', severity: 'warning', line: 2 },
  ])
})

test('each sheet is a part of its own, told by its content', async () => {
  const parts = await mapParts({ path: 'book.xlsx', bytes: sample('forms.xlsx'), sha256: 'x' })
  expect(parts).toMatchObject([{ path: 'book.xlsx#forms', sha256: 'x', notes: ['sheet of book.xlsx'] }])
})

test('a sheet of errors is read as what it shows, and each is told with its row', async () => {
  const broken = `<c t="e"><v>#REF!</v></c>`
  const rows = [header, `<row>${broken}${broken}${broken}</row>`, row(textCell('a.gpx'), textCell('bare'), broken)]
  const [part] = await mapParts({ path: 'book.xlsx', bytes: xlsxOf(rows.join('')), sha256: 'x' })
  const { value, problems } = readRunsTable(part.text ?? '')
  expect(value?.rows.map(({ track, fuelLitres }) => [track, fuelLitres])).toEqual([
    ['#REF!', Number.NaN],
    ['a.gpx', Number.NaN],
  ])
  expect(problems.map(({ code, line }) => [code, line])).toEqual([
    ['runs-not-a-number', 2],
    ['runs-not-a-number', 3],
  ])
})

test('several tables in one sheet are parts of their own, with the rows of the sheet as their lines', async () => {
  const cells = (...texts: string[]): string => row(...texts.map(textCell))
  const rows = [
    cells('Drives of May'),
    cells('File', 'Config', 'Liters'),
    cells('a.gpx', 'bare', '7.3'),
    '<row></row>',
    cells('Weather'),
    cells('time', 'temperature_c'),
    cells('2026-05-04T09:00Z', '12'),
    cells('yesterday', '12'),
  ]
  const parts = await mapParts({ path: 'book.xlsx', bytes: xlsxOf(rows.join('')), sha256: 'x' })
  expect(parts.map(({ path, kind }) => [path, kind])).toEqual([
    ['book.xlsx#Drives', 'runs-table'],
    ['book.xlsx#Drives/2', 'observation-table'],
  ])
  const weather = readObservationTable(parts[1].text ?? '', { timeZone: null, fileName: 'w' })
  expect(weather.value?.count).toBe(1)
  expect(weather.problems.find(({ code }) => code === 'weather-time-unreadable')?.line).toBe(8)
  expect(readRunsTable(parts[0].text ?? '').value?.rows).toHaveLength(1)
})

test('one table with empty lines, or with its header again, stays one', () => {
  for (const text of ['track,setup\n\na,x\n\nb,y\n', 'track,setup\na,x\n\ntrack,setup\nb,y\n']) {
    expect(tablesInText(text)).toEqual([text])
  }
})
