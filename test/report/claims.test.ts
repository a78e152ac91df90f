import { parse } from 'csv-parse/sync'
import { describe, expect, it } from 'vitest'
import { plainText } from '../../src/base/sentence.ts'
import type { Report } from '../../src/report/contract.ts'
import { reportJson } from '../../src/report/json.ts'
import { claimsCsv, partsCsv } from '../../src/report/tables.ts'
import { terminalSummary } from '../../src/report/terminal/terminal.ts'
import { widthOf } from '../../src/report/terminal/terminal-text.ts'
import { answerOf } from '../../src/report/words/answer.ts'
import { partSentences } from '../../src/report/words/claims/parts.ts'
import { glanceWords } from '../../src/report/words/glance.ts'
import { claim, HOSTILE_SETUP, withClaims } from './claims-fixture.ts'
import { fixture, HOSTILE_NAME } from './fixture.ts'

const plain = (report = withClaims, width = 100): string => terminalSummary(report, { width, color: false })
const claimsIn = (report: Report): string[] => answerOf(report).claims.map((sentence) => plainText(sentence))
const stepsIn = (report: Report): string[] => answerOf(report).nextSteps.map((sentence) => plainText(sentence))
const rowsOf = (text: string): Record<string, string>[] => parse(text, { columns: true })

it('the report with claims that these tests use keeps to the contract', () => {
  expect(() => reportJson(withClaims)).not.toThrow()
})

describe('the answer', () => {
  const sentences = claimsIn(withClaims)

  it('says of a supported claim its change, interval, verdict, runs and the change as measured', () => {
    expect(sentences[0]).toBe(
      '"rack" compared with "bare", corrected to equal conditions: +5.1 % consumption (95 % interval +2.9 to +7.4 %), which is −4.9 % distance for the same fuel; supported, 1 drive against 2. As measured: +4.2 %.',
    )
  })

  it('says of the others why they are not', () => {
    expect(sentences[1]).toMatch(/; unresolved: these drives neither show a change nor rule one out\.$/)
    expect(sentences[2]).toContain('; explained by conditions. As measured, consumption is 4.2 % more')
    expect(sentences[3]).toBe(
      `"${HOSTILE_NAME}" compared with "bare": not testable. Cannot be tested: no drive was made with ${HOSTILE_NAME}.`,
    )
  })

  it('names the road only where there are several', () => {
    expect(sentences[0]).not.toContain('dyke-road')
    const two = claimsIn({ ...fixture, claims: [claim(), claim({ route: 'hill-road' })] })
    expect(two[1]).toMatch(/^"rack" compared with "bare" on hill-road,/)
  })

  it('begins with the step of the first lines, once, then has the best step of each claim', () => {
    expect(stepsIn(withClaims)[0]).toContain('from 4.5 to 3.4 percentage points')
    const step = { ...claim().next_steps[0], step: 'weigh-the-fuel' as const }
    const open = claim({ verdict: 'unresolved', next_steps: [step], evidence: [], caution_codes: [] })
    const more = claim({ evidence: [], caution_codes: [] })
    for (const claims of [[claim(), open], [open, more], [more], [open], []]) {
      const report = { ...fixture, claims }
      const steps = stepsIn(report)
      const { answer } = glanceWords(report).next
      expect(steps[0].startsWith(plainText(answer))).toBe(true)
      expect(new Set(steps).size).toBe(steps.length)
    }
    const steps = stepsIn({ ...fixture, claims: [open, more] })
    expect(steps[0]).toMatch(/^Weigh the fuel/)
    expect(steps[1]).toMatch(/^One more drive each/)
  })

  it('does not ask for what the claims have done', () => {
    expect(stepsIn(withClaims).join(' ')).not.toContain('Compare the fuel of the pairs')
    expect(stepsIn(fixture).join(' ')).toContain('Compare the fuel of the pairs')
  })
})

it('of parts that take each other’s place says that their difference is known, and asks for no bare vehicle', () => {
  const parts = ['summer tyres', 'winter tyres']
  const [group] = withClaims.part_groups
  const separating = { road: 'dyke-road', parts: [], setup: null, tells: parts }
  const report = {
    ...withClaims,
    parts: [],
    part_groups: [{ ...group, parts, combined_change_pct: null, exchanged: true, separating }],
  }
  const text = partSentences(report)
    .map((sentence) => plainText(sentence))
    .join('\n')
  expect(text).toMatch(/^summer tyres and winter tyres: one of them was fitted in every drive/)
  expect(text).toContain('only their difference is known')
  expect(text).toContain('none of them fitted, if the vehicle can be driven so')
  expect(text).not.toContain('nothing fitted')
})

describe('the terminal summary', () => {
  it('has claims and parts after the answer and before the drives', () => {
    const text = plain()
    const order = [
      'Can I compare?',
      '\nClaims\n- "rack" compared',
      '\nsetup ',
      '! rack: The pump',
      '\nParts\n',
      '\nDrives\n',
    ]
    const places = order.map((words) => text.indexOf(words))
    expect(places).not.toContain(-1)
    expect(places).toEqual(places.toSorted((a, b) => a - b))
  })

  it('has neither without claims', () => {
    expect(plain(fixture)).not.toMatch(/\n(Claims|Parts)\n/)
  })

  it('has a table of raw and adjusted changes, verdict and runs', () => {
    const row = plain(withClaims, 120)
      .split('\n')
      .find((line) => line.startsWith('rack '))
    expect(row?.split(/ {2,}/)).toEqual([
      'rack',
      'bare',
      '+4.2 (+1.9 to +6.6)',
      '+5.1 (+2.9 to +7.4)',
      'supported',
      '1 : 2',
    ])
  })

  it('tells which parts go together and what would tell them apart', () => {
    expect(plain(withClaims, 500)).toContain(
      '- -skirts and =covers: −2.1 % consumption together (95 % interval −4.0 to −0.1 %); these drives do not separate them. To separate them: one drive on dyke-road',
    )
  })

  it('says of parts that they are not corrected where no drive’s fuel is', () => {
    const runs = withClaims.runs.map((run) => ({
      ...run,
      consumption: { unit: 'l' as const, per_100_km: 7, adjusted_per_100_km: null },
    }))
    expect(plain({ ...withClaims, runs }, 500)).toMatch(/covers: .*−0\.1 %\), not corrected; these drives/)
    expect(plain(withClaims, 500)).not.toContain('not corrected')
  })

  it.each([60, 80, 100, 120])('keeps to a width of %d', (width) => {
    expect(
      plain(withClaims, width)
        .split('\n')
        .filter((line) => widthOf(line) > width),
    ).toEqual([])
  })

  it('is brief where the claims are many', () => {
    const claims = Array.from({ length: 30 }, (_, i) => claim({ setup: `setup-${i}` }))
    const text = plain({ ...withClaims, claims })
    expect(text).toContain('… and 24 more claims (in the table, or in claims.csv)')
    expect(text).toContain('… and 10 more claims (all in claims.csv)')
  })

  it('shows no control character of a name', () => {
    const claims = [
      claim({
        setup: 'a\u001B[31m\u202Eb',
        left_out: [{ run: '\u001B[2J', reason: '', why: { code: 'stated', note: '\u0007' } }],
      }),
    ]
    expect(plain({ ...withClaims, claims }).replaceAll('\n', '')).not.toMatch(/[\p{Cc}\u202E]/u)
  })
})

describe('claims.csv', () => {
  const rows = rowsOf(claimsCsv(withClaims))

  it('has a row per claim with estimates and both ends of the intervals', () => {
    expect(rows).toHaveLength(withClaims.claims.length)
    expect(rows[0]).toMatchObject({
      setup: 'rack',
      baseline: 'bare',
      verdict: 'supported',
      runs: '1',
      baseline_runs: '2',
      raw_consumption_change_pct: '4.2',
      adjusted_consumption_change_pct: '5.1',
      adjusted_consumption_change_pct_low95: '2.9',
      adjusted_consumption_change_pct_high95: '7.4',
      share_fills: '0.6',
      evidence_agrees: 'false',
      width_after_pct: '3.4',
    })
  })

  it('has empty cells for what is not known', () => {
    expect(rows[3]).toMatchObject({
      route: '',
      adjusted_consumption_change_pct: '',
      evidence_agrees: '',
      next_step: '',
    })
  })

  it('has no cell that a spreadsheet would take for a formula', () => {
    expect(rows[2].setup).toBe("'=2+2")
    expect(rows[1].setup).toBe(HOSTILE_SETUP)
  })
})

describe('parts.csv', () => {
  it('has a row per part and one per group', () => {
    const rows = rowsOf(partsCsv(withClaims))
    expect(rows.map((row) => row.part)).toEqual(['roof rack', "'-skirts", "'=covers", "'-skirts + =covers"])
    expect(rows[1]).toMatchObject({ consumption_change_pct: '', inseparable_from: "'=covers" })
    expect(rows[3]).toMatchObject({ consumption_change_pct: '-2.1', consumption_change_pct_low95: '-4' })
  })
})
