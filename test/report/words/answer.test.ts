import { describe, expect, it } from 'vitest'
import { plainText } from '../../../src/base/sentence.ts'
import type { Report } from '../../../src/report/contract.ts'
import { type Answer, answerOf } from '../../../src/report/words/answer.ts'
import { contributions, fixture, noShares, pair, share } from '../fixture.ts'

/** The answer as plain text. */
function told(report: Report): Record<Exclude<keyof Answer, 'headline'>, string[]> & { headline: string } {
  const { headline, ...lists } = answerOf(report)
  const texts = (all: Answer['sentences']): string[] => all.map((sentence) => plainText(sentence))
  return {
    headline: plainText(headline),
    sentences: texts(lists.sentences),
    claims: texts(lists.claims),
    nextSteps: texts(lists.nextSteps),
  }
}

describe('the answer', () => {
  const [comparable, adjustable, wet, unknown, large] = fixture.pairs
  const withPairs = (...pairs: Report['pairs']) => told({ ...fixture, pairs, problems: [] })

  it.each([
    ['all pass', [comparable], 'Yes: the two drives can be compared as measured.'],
    ['only after adjusting', [adjustable, large], '1 of 2 pairs can be used: after correction.'],
    ['none', [wet, large], 'No: none of the 2 pairs of drives can be compared.'],
    ['nothing known', [unknown, unknown], 'Cannot be judged: something needed is missing for every pair.'],
  ])('%s', (_, pairs, want) => {
    expect(withPairs(...pairs).headline).toBe(want)
  })

  it('names what differs most, with the worst pair, and a condition that is not carried', () => {
    const { sentences } = told(fixture)
    expect(sentences).toContain(
      'Wind is the largest difference in 2 pairs not comparable as measured: up to +13.0 % (90 % interval +12.0 to +14.0 %) for img-src-x against morning-2, of +12.4 % (+11.6 to +13.1 %) from all conditions.',
    )
    expect(sentences).toContain('1 pair: one road was wet, the other dry, and the model cannot correct for that.')
  })

  it('says that no drive has weather where a large report has no pair to tell of', () => {
    const runs = fixture.runs.map((run) => ({
      ...run,
      demand: { mean_j_per_m: null, sd_pct: null },
      air: fixture.runs[4].air,
    }))
    const { headline, nextSteps } = told({ ...fixture, runs, pairs: [], problems: [] })
    expect(headline).toBe(
      'None of the 5 drives can be compared: the wind or the temperature is not known for any of them.',
    )
    expect(nextSteps[0]).toMatch(/^Add weather observations for morning-1 .* and 2 more: /)
  })

  it('says what to do about each cause', () => {
    // The first is that of the report's first lines: there is no fuel.
    const first = 'Write the setup and the fuel of each drive into runs.csv.'
    expect(withPairs(comparable).nextSteps).toEqual([first, 'Compare the fuel of the pairs marked = as measured.'])
    expect(withPairs(large).nextSteps).toEqual([
      first,
      'Where wind differs too much to correct for, drive again with wind like that of morning-2 (3.4 m/s from 235°, headwind +0.5 m/s).',
    ])
    expect(
      withPairs(pair('morning-1', '1-1', { difference_pct: null, verdict: 'not-comparable', cause: 'other-road' }))
        .nextSteps[1],
    ).toMatch(/^Drive one road in one direction/)
    const unsure = pair('morning-1', '1-1', {
      difference_pct: { mean: 4, low90: 0, high90: 8 },
      verdict: 'undecided',
      cause: 'not-known-well-enough',
    })
    const speed = { ...noShares, speed: share(7) }
    const vague = { ...speed, speed: { mean: 4, low90: 0, high90: 8 } }
    const different = { ...unsure, verdict: 'not-comparable' as const, cause: 'surely-different' as const }
    expect(withPairs({ ...different, ...contributions(speed) }).nextSteps).toEqual([
      first,
      'Where speed or stops differs too much to correct for, drive again with the speed of morning-1 (71 km/h while moving, 4 stops).',
    ])
    expect(withPairs({ ...unsure, ...contributions(vague) }).nextSteps[1]).toMatch(
      /speed or stops must be known better: state mass and drag area/,
    )
    // Only a recording that is sparse is to be made denser.
    const sparse = fixture.runs.map((each) => ({
      ...each,
      flags: [{ code: 'low-rate', severity: 'warning' as const, message: '', figures: { interval_s: 10 } }],
    }))
    const report = { ...fixture, runs: sparse, pairs: [{ ...unsure, ...contributions(vague) }] }
    expect(told(report).nextSteps[1]).toContain('record a position every second, state mass')
    expect(withPairs(unsure).nextSteps[1]).toContain('the nearest station is up to 12 km away')
    expect(withPairs(wet).nextSteps).toEqual([first, 'Repeat 1-1 on a dry road.'])
    expect(withPairs(unknown).nextSteps[1]).toContain('2024-05-03 18:05 UTC')
    expect(told(fixture).nextSteps.at(-1)).toContain('the error listed under Problems')
    expect(told({ ...fixture, runs: [], pairs: [], problems: [] }).nextSteps[0]).toContain('at least two tracks')
  })
})
