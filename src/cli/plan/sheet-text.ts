import { CAUTIONS } from '../../campaign/report/assumptions.ts'
import type { FieldSheet } from '../../plan/sheet.ts'
import { markdownText } from '../../report/markdown-text.ts'
import { sheetWords } from '../../report/words/plans/sheet.ts'
import type { SheetBox } from '../../report/words/plans/sheet-boxes.ts'

/** Lines behind the drives, for one that has to be driven again. */
export const SPARE_LINES = 1

const LINE = '____________________'

/** The sheet as Markdown whose tables are readable as plain text too. What the user named is shown as it is. */
export function sheetText(sheet: FieldSheet): string {
  const { heading, head, order, boxes, sections, typeIn } = sheetWords(sheet)
  const list = (items: readonly string[]): string => items.map((item) => `- ${item}\n`).join('')
  const title = sheet.title === null ? '' : `: ${markdownText(sheet.title)}`
  return [
    `# ${heading}${title}\n`,
    head.map(([label, value]) => `- ${label}: ${value === null ? LINE : markdownText(value)}\n`).join(''),
    `## Drives\n`,
    `${order.join('\n\n')}\n`,
    driveTable(
      boxes.filter(({ where }) => where === 'vehicle'),
      sheet.drives,
    ),
    driveTable([boxes[0], ...boxes.filter(({ where }) => where !== 'vehicle')], sheet.drives),
    ...sections.map((section) => `## ${section.heading}\n\n${list(section.steps)}`),
    `## ${typeIn.heading}\n\n${typeIn.words}\n`,
    table(
      ['On the sheet', 'Column', 'How'],
      typeIn.rows.map(({ from, column, how }) => [from, `\`${column}\``, how]),
    ),
    `The first line of the table:\n\n    ${typeIn.headerLine}\n`,
    `## Cautions\n\n${list(CAUTIONS)}`,
  ].join('\n')
}

/** A line for each drive, its boxes empty but for the setup. */
function driveTable(boxes: readonly SheetBox[], drives: readonly string[]): string {
  const header = boxes.map(({ label, unit }) => (unit === null ? label : `${label} (${unit})`))
  const row = (first: string, setup: string): string[] => [
    first,
    ...boxes.map((_, i) => (i === 0 ? markdownText(setup) : '')),
  ]
  return table(
    ['No.', ...header],
    [
      ...drives.map((setup, i) => row(String(i + 1), setup)),
      ...Array.from({ length: SPARE_LINES }, () => row('spare', '')),
    ],
  )
}

function table(header: readonly string[], rows: readonly (readonly string[])[]): string {
  const cells = [header, ...rows]
  const widths = header.map((_, i) => Math.max(...cells.map((row) => row[i].length)))
  const line = (row: readonly string[]): string => `| ${row.map((cell, i) => cell.padEnd(widths[i])).join(' | ')} |\n`
  const [head, ...body] = cells
  return [line(head), `|${widths.map((width) => '-'.repeat(width + 2)).join('|')}|\n`, ...body.map(line)].join('')
}
