import { crc32 } from 'node:zlib'

/** A cell: a text, a number, a day or a time of day as a spreadsheet counts them, or nothing. */
export type SheetCell = string | number | { day: number } | { clock: number } | null

export interface SheetToWrite {
  name: string
  /** Lines above the header, which begin with `#`. */
  comments: string[]
  header: string[]
  /** Widths of the columns, in characters. */
  widths: number[]
  rows: SheetCell[][]
  /** Values to choose from in a column (0-based); none: the column is free. */
  choices: { column: number; values: string[] } | null
}

/** A row of the list of choices holds no more characters. @source ECMA-376 part 1, 18.3.1.32 (from memory) */
const LONGEST_CHOICES = 255
/** Rows below the last that have choices as well. */
const ROWS_TO_COME = 200

/**
 * A workbook with one sheet: a frozen header in bold, days and times of day with their formats, a list to choose from.
 * Written by hand, 100 lines: the library that reads workbooks writes no lists to choose from.
 * @source ECMA-376 part 1 (SpreadsheetML), 18.2, 18.3, 18.8; PKWARE APPNOTE.TXT 6.3.10, 4.3
 */
export function xlsxFile(sheet: SheetToWrite): Uint8Array {
  return zipped([
    ['[Content_Types].xml', CONTENT_TYPES],
    ['_rels/.rels', relations(['officeDocument', 'xl/workbook.xml'])],
    ['xl/workbook.xml', workbookXml(sheet.name)],
    ['xl/_rels/workbook.xml.rels', relations(['worksheet', 'worksheets/sheet1.xml'], ['styles', 'styles.xml'])],
    ['xl/styles.xml', STYLES],
    ['xl/worksheets/sheet1.xml', sheetXml(sheet)],
  ])
}

const XML = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
const MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
const OFFICE = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships'
const TYPES = 'application/vnd.openxmlformats-officedocument.spreadsheetml'
const PACKAGE = 'http://schemas.openxmlformats.org/package/2006'

const CONTENT_TYPES = `${XML}<Types xmlns="${PACKAGE}/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="${TYPES}.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="${TYPES}.worksheet+xml"/><Override PartName="/xl/styles.xml" ContentType="${TYPES}.styles+xml"/></Types>`

/** Styles by number: plain, bold, a day, a time of day, grey. */
const STYLES = `${XML}<styleSheet ${MAIN}><numFmts count="2"><numFmt numFmtId="164" formatCode="yyyy\\-mm\\-dd"/><numFmt numFmtId="165" formatCode="hh:mm"/></numFmts><fonts count="3"><font><sz val="11"/><name val="Calibri"/></font><font><b/><sz val="11"/><name val="Calibri"/></font><font><sz val="10"/><color rgb="FF606060"/><name val="Calibri"/></font></fonts><fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills><borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs><cellXfs count="5"><xf/><xf fontId="1" applyFont="1"/><xf numFmtId="164" applyNumberFormat="1"/><xf numFmtId="165" applyNumberFormat="1"/><xf fontId="2" applyFont="1"/></cellXfs></styleSheet>`
const [PLAIN, BOLD, DAY, CLOCK, GREY] = [0, 1, 2, 3, 4]

const escaped = (text: string): string =>
  text
    // Control characters cannot stand in XML.
    .replace(/[^\P{Cc}\t\n]/gu, ' ')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('"', '&quot;')

const relations = (...targets: [type: string, target: string][]): string =>
  `${XML}<Relationships xmlns="${PACKAGE}/relationships">${targets
    .map(([type, target], i) => `<Relationship Id="r${i + 1}" Type="${OFFICE}/${type}" Target="${target}"/>`)
    .join('')}</Relationships>`

const workbookXml = (name: string): string =>
  `${XML}<workbook ${MAIN} xmlns:r="${OFFICE}"><sheets><sheet name="${escaped(name)}" sheetId="1" r:id="r1"/></sheets></workbook>`

function sheetXml({ comments, header, widths, rows, choices }: SheetToWrite): string {
  const lines: [cells: SheetCell[], style: number][] = [
    ...comments.map((text): [SheetCell[], number] => [[text], GREY]),
    [header, BOLD],
    ...rows.map((cells): [SheetCell[], number] => [cells, PLAIN]),
  ]
  const above = comments.length + 1
  const columns = widths.map((width, i) => `<col min="${i + 1}" max="${i + 1}" width="${width}" customWidth="1"/>`)
  const data = lines.map(
    ([cells, style], r) => `<row r="${r + 1}">${cells.map((cell, c) => cellXml(cell, r, c, style)).join('')}</row>`,
  )
  const pane = `<pane ySplit="${above}" topLeftCell="A${above + 1}" activePane="bottomLeft" state="frozen"/>`
  return `${XML}<worksheet ${MAIN}><sheetViews><sheetView workbookViewId="0">${pane}</sheetView></sheetViews><cols>${columns.join('')}</cols><sheetData>${data.join('\n')}</sheetData>${choicesXml(choices, above, rows.length)}</worksheet>`
}

function cellXml(cell: SheetCell, row: number, column: number, style: number): string {
  const place = `r="${letter(column)}${row + 1}"`
  if (cell === null || cell === '') return ''
  if (typeof cell === 'string') {
    return `<c ${place} s="${style}" t="inlineStr"><is><t xml:space="preserve">${escaped(cell)}</t></is></c>`
  }
  if (typeof cell === 'number') return `<c ${place} s="${style}"><v>${cell}</v></c>`
  return 'day' in cell
    ? `<c ${place} s="${DAY}"><v>${cell.day}</v></c>`
    : `<c ${place} s="${CLOCK}"><v>${cell.clock}</v></c>`
}

function choicesXml(choices: SheetToWrite['choices'], above: number, rows: number): string {
  const list = choices?.values.filter((value) => !value.includes(',')).join(',') ?? ''
  if (!choices || list === '' || list.length > LONGEST_CHOICES) return ''
  const column = letter(choices.column)
  const cells = `${column}${above + 1}:${column}${above + rows + ROWS_TO_COME}`
  return `<dataValidations count="1"><dataValidation type="list" allowBlank="1" showErrorMessage="0" sqref="${cells}"><formula1>"${escaped(list)}"</formula1></dataValidation></dataValidations>`
}

/** A first sheet has no more than 26 columns. */
const letter = (column: number): string => String.fromCharCode(65 + column)

/** 1 January 1980, the first day that such an archive can name: the same workbook is the same bytes on every day. */
const FIRST_DAY = 0x21

/** A ZIP archive whose files are stored as they are. */
function zipped(files: [name: string, text: string][]): Uint8Array {
  const parts: Buffer[] = []
  const directory: Buffer[] = []
  let at = 0
  for (const [name, text] of files) {
    const content = Buffer.from(text)
    const common = Buffer.alloc(26)
    common.writeUInt16LE(20, 0)
    common.writeUInt16LE(FIRST_DAY, 8)
    common.writeUInt32LE(crc32(content), 10)
    common.writeUInt32LE(content.length, 14)
    common.writeUInt32LE(content.length, 18)
    common.writeUInt16LE(Buffer.byteLength(name), 22)
    const local = Buffer.concat([Buffer.from('PK\x03\x04'), common, Buffer.from(name), content])
    const rest = Buffer.alloc(14)
    rest.writeUInt32LE(at, 10)
    directory.push(Buffer.concat([Buffer.from('PK\x01\x02\x14\x00'), common, rest, Buffer.from(name)]))
    parts.push(local)
    at += local.length
  }
  const end = Buffer.alloc(22)
  end.write('PK\x05\x06')
  end.writeUInt16LE(files.length, 8)
  end.writeUInt16LE(files.length, 10)
  end.writeUInt32LE(
    directory.reduce((sum, { length }) => sum + length, 0),
    12,
  )
  end.writeUInt32LE(at, 16)
  return new Uint8Array(Buffer.concat([...parts, ...directory, end]))
}
