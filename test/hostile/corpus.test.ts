import { describe, expect, it } from 'vitest'
import type { InputFile } from '../../src/campaign/load/map-file.ts'
import { mapParts } from '../../src/campaign/load/map-parts.ts'
import { runCampaign } from '../../src/campaign/run-campaign.ts'
import { reportSchema } from '../../src/report/contract.ts'
import { reportJson } from '../../src/report/json.ts'
import { markdownReport } from '../../src/report/markdown.ts'
import { claimsCsv, partsCsv, runsCsv } from '../../src/report/tables.ts'
import { terminalSummary } from '../../src/report/terminal/terminal.ts'
import { DEFAULTS, inputFile } from '../campaign/folder.ts'
import { STEADY_WEATHER, straightTrack } from '../cli/command.ts'
import { corpus, HEAVY } from './corpus.ts'

/** A drive and an air that are sound: what must not suffer by the bad file beside them. */
const BESIDE = [inputFile('good.gpx', straightTrack('2024-05-03T08:10:00Z')), inputFile('good.csv', STEADY_WEATHER)]
/** The map step sees one file at a time: these two are read once for all cases. */
const mappedBeside = new Map(BESIDE.map((file) => [file, mapParts(file)]))
const mapped = async (files: InputFile[]) =>
  (await Promise.all(files.map((file) => mappedBeside.get(file) ?? mapParts(file)))).flat()
const FEW_DRAWS = { ...DEFAULTS, draws: 50 }
/** A report on two drives is some 20 kB; what a file holds must not be poured into it. */
const MOST_REPORT_CHARACTERS = 400_000
const MOST_MESSAGE_CHARACTERS = 1500

/** Control characters but the line end, and signs that turn the direction of text. */
const UNFIT_FOR_TERMINAL = /[\p{Cc}\u202a-\u202e\u2066-\u2069]/u

const withHeavy = process.env.CETERIS_HOSTILE === 'all'
const all = Object.entries(corpus).map(([group, cases]) => {
  return [group, cases.filter(({ what }) => withHeavy || !HEAVY.test(what))] as const
})

describe.each(all)('%s', (_, cases) => {
  it.each(cases.map((bad) => [bad.what, bad] as const))('%s', async (_what, { path, make, code, run }) => {
    const files = [...BESIDE, inputFile(path, make())]
    const { report } = await runCampaign({ files, unreadable: [], settings: FEW_DRAWS, version: 'test' }, mapped)

    const here = report.problems.filter((problem) => problem.path?.replace(/#\d+$/, '') === path)
    const own = report.runs.filter(({ track }) => track.replace(/#\d+$/, '') === path)
    if (code === null) expect(here.filter(({ severity }) => severity === 'error')).toEqual([])
    else expect([...here, ...own.flatMap(({ flags }) => flags)].map((problem) => problem.code)).toContain(code)
    if (run !== undefined) expect(own).toHaveLength(run ? 1 : 0)
    expect(report.runs.map(({ track }) => track)).toContain('good.gpx')

    expect(reportSchema.safeParse(report).error).toBeUndefined()
    for (const { message } of report.problems) {
      expect(message).not.toMatch(/(?<!found )\bNaN\b(?!")|undefined(?! entity)|\[object/)
      expect(message.length).toBeLessThan(MOST_MESSAGE_CHARACTERS)
    }
    const json = reportJson(report)
    expect(json.length).toBeLessThan(MOST_REPORT_CHARACTERS)
    expect(json).not.toMatch(/root:x:0/)
    for (const text of [runsCsv(report), claimsCsv(report), partsCsv(report), markdownReport(report)]) {
      expect(text.length).toBeLessThan(MOST_REPORT_CHARACTERS)
    }
    const terminal = terminalSummary(report, { width: 100, color: false })
    expect(terminal.replaceAll('\n', '')).not.toMatch(UNFIT_FOR_TERMINAL)
  })
})

it('has no fewer bad inputs than it should, and none twice', () => {
  const whats = all.flatMap(([, cases]) => cases.map(({ what, path }) => `${path} ${what}`))
  expect(whats.length).toBeGreaterThan(150)
  expect(new Set(whats).size).toBe(whats.length)
})
