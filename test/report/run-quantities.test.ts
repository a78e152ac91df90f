import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { z } from 'zod'
import type { ReportRun } from '../../src/report/contract.ts'
import { reportSchema } from '../../src/report/contract.ts'
import type { RunQuantity } from '../../src/report/quantities/run-quantity.ts'
import { numeric } from '../../src/report/quantities/run-quantity.ts'
import { fixture } from './fixture.ts'
import { runColumnsBlock } from './run-columns.ts'

/** The table that the outputs see: a test puts rows of its own in. */
const table = vi.hoisted(() => ({ rows: [] as RunQuantity[] }))
vi.mock('../../src/report/quantities/run-quantities.ts', async (original) => {
  const { RUN_QUANTITIES } = await original<typeof import('../../src/report/quantities/run-quantities.ts')>()
  if (table.rows.length === 0) table.rows.push(...RUN_QUANTITIES)
  return { RUN_QUANTITIES: table.rows }
})

/** No quantity of the program: a dew point that is 2 °C below the temperature. */
const DEW_POINT = numeric(
  'air.toy_dew_point_c',
  'Mean toy dew point',
  'temperature',
  (r: ReportRun) => r.air.temperature_c && r.air.temperature_c - 2,
  {
    decimals: 1,
    group: 'Air',
    short: 'toy dew point',
    markdown: 'conditions',
    terminal: { header: 'toy dew', rank: 0 },
    inspect: 'Air',
    phrase: { before: 'toy dew point ', behind: '' },
    card: { place: 12 },
  },
)

/** Every output that tells the drives' quantities, made anew with the table as it is now. */
async function outputs(): Promise<Record<string, string>> {
  vi.resetModules()
  const { runsCsv } = await import('../../src/report/tables.ts')
  const { runsSection } = await import('../../src/report/page/drives/runs.ts')
  const { markdownReport } = await import('../../src/report/markdown.ts')
  const { terminalSummary } = await import('../../src/report/terminal/terminal.ts')
  const { inspectText } = await import('../../src/cli/inspect-text.ts')
  const { wideConditionsCard, squareConditionsCard } = await import('../../src/report/cards/conditions-card.ts')
  const { typefaces } = await import('./cards/typefaces.ts')
  const report = { ...fixture, pairs: [], claims: [], problems: [] }
  const cards = [wideConditionsCard, squareConditionsCard].flatMap((card) =>
    card(report.runs[0], report, typefaces).marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : [])),
  )
  return {
    csv: runsCsv(report),
    page: runsSection(report)!.markup,
    markdown: markdownReport(report),
    terminal: terminalSummary(report, { width: 200, color: false }),
    inspect: inspectText(report, 72),
    cards: cards.join('\n'),
    docs: (await import('./run-columns.ts')).runColumnsBlock(),
  }
}

let before: RunQuantity[] = []
beforeEach(() => {
  before = [...table.rows]
})
afterEach(() => {
  table.rows.splice(0, Infinity, ...before)
})

afterAll(() => {
  // Files of tests share their modules: the next one finds the table as it is.
  vi.doUnmock('../../src/report/quantities/run-quantities.ts')
  vi.resetModules()
})

describe('a quantity of a drive', () => {
  it('appears in every output with one row of the table', async () => {
    table.rows.push(DEW_POINT)
    const made = await outputs()
    // 14.2 °C less 2.
    expect(made.csv.split('\r\n')[0].split(',')).toContain('toy_dew_point_c')
    expect(made.csv.split('\r\n')[1]).toMatch(/,12\.2$/)
    expect(made.page).toMatch(
      /Mean toy dew point <span class="unit"><span data-unit="temperature">°C<\/span><\/span><\/th><td class="figure"><data value="12\.2" data-as="temperature 1">12\.2</,
    )
    expect(made.markdown).toMatch(/\| toy dew point, °C \|/)
    expect(made.markdown).toMatch(/\| 12\\?\.2 \|/)
    expect(made.terminal).toMatch(/toy dew\n/)
    expect(made.terminal).toMatch(/ 12\.2\n/)
    expect(made.inspect).toMatch(/toy dew\s+point 12\.2 °C/)
    expect(made.cards.split('\n')).toEqual(expect.arrayContaining(['toy dew point, °C', '12.2']))
    expect(made.docs).toContain('| `toy_dew_point_c` | `runs[].air.toy_dew_point_c` | Mean toy dew point | °C |')
  })

  it('is told nowhere without its row', async () => {
    table.rows.splice(0, Infinity, DEW_POINT)
    const made = await outputs()
    expect(made.csv.split('\r\n')[0]).toBe('toy_dew_point_c')
    const [conditions] = made.page.split('</table>')
    expect([...conditions.matchAll(/<th scope="row">([^<]*)/g)].map(([, label]) => label.trim())).toEqual([
      'Mean toy dew point',
      'Outside the limits',
    ])
    expect(made.markdown).toContain('| no. | toy dew point, °C |\n')
    expect(made.markdown).toContain('| no. |\n')
    expect(made.terminal).toMatch(/\n# {2}toy dew\n1 {5}12\.2\n/)
    expect(
      made.inspect
        .split('\n\n')[0]
        .split('\n')
        .slice(2)
        .map((line) => line.slice(0, 9).trim()),
    ).toEqual(['Road', 'Air', 'Wind', 'Quality'])
    expect(made.inspect).toContain('Air      toy dew point 12.2 °C\n')
    expect(made.cards.split('\n').filter((text) => /, (m\/s|°C|km|%|kg\/m³|km\/h)$/.test(text))).toEqual([
      'toy dew point, °C',
      'toy dew point, °C',
    ])
    expect(made.docs.split('\n')).toHaveLength(3)
  })

  it('is in report.json, and every value there of a drive has a row', () => {
    const run = z.toJSONSchema(reportSchema.shape.runs.element) as Schema
    const told = table.rows.flatMap(({ path, sd }) => (sd ? [path, `${path}_sd`] : [path]))
    // The unit of a consumption is told with each of its figures, the facts of a use with its reason.
    const within = [
      'why.code',
      'difference_pct.mean',
      'difference_pct.low90',
      'difference_pct.high90',
      'pairs',
      'usable_pairs',
    ]
    const elsewhere = ['consumption.unit', ...within.map((key) => `use.${key}`)]
    expect(leavesOf(run).toSorted()).toEqual([...told, ...elsewhere].toSorted())
  })

  it('is listed in docs/files.md with its column', () => {
    const file = join(import.meta.dirname, '../../docs/files.md')
    const text = readFileSync(file, 'utf8')
    const inPlace = /(<!-- columns of runs\.csv -->\n)[\s\S]*?(\n<!-- end of columns -->)/
    const made = text.replace(inPlace, (_, start: string, end: string) => start + runColumnsBlock() + end)
    expect(inPlace.test(text)).toBe(true)
    if (process.env.CETERIS_WRITE_DOCS) writeFileSync(file, made)
    else expect(text, 'CETERIS_WRITE_DOCS=1 npx vitest run test/report/run-quantities.test.ts writes it').toBe(made)
  })
})

interface Schema {
  type?: string
  properties?: Record<string, Schema>
  anyOf?: Schema[]
}

/** The paths of a schema's values; a list is one value. */
function leavesOf(schema: Schema): string[] {
  const object = schema.properties ? schema : schema.anyOf?.find(({ properties }) => properties)
  if (!object?.properties) return ['']
  return Object.entries(object.properties).flatMap(([key, inner]) =>
    leavesOf(inner).map((rest) => (rest === '' ? key : `${key}.${rest}`)),
  )
}
