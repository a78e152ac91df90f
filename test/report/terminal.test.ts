import { stripVTControlCharacters } from 'node:util'
import { describe, expect, it } from 'vitest'
import { fixed, signed } from '../../src/base/figures.ts'
import { cleaned } from '../../src/base/names.ts'
import { answerOf } from '../../src/report/answer.ts'
import type { Report } from '../../src/report/contract.ts'
import { terminalSummary } from '../../src/report/terminal.ts'
import { cut, widthOf, wrapped } from '../../src/report/terminal-text.ts'
import { hoursAndMinutes, listed } from '../../src/report/words.ts'
import { contributions, fixture, noShares, pair, run, share } from './fixture.ts'

const plain = (report: Report, width = 100): string => terminalSummary(report, { width, color: false })

describe('the summary', () => {
  it('says the answer first, then runs, pairs, what to do next, and the problems last', () => {
    const text = plain(fixture)
    const order = [
      'Some of them: 1 of 5 pairs',
      'Of 5 pairs on one road, 1 is comparable as measured',
      '\nDrives\n',
      '\nPairs\n',
      '\nWhat to do next\n',
      '\nProblems\n',
      'campaign.yaml:4:12',
    ]
    const places = order.map((words) => text.indexOf(words))
    expect(places).not.toContain(-1)
    expect(places).toEqual(places.toSorted((a, b) => a - b))
  })

  it.each([60, 80, 100, 120])('keeps to a width of %d', (width) => {
    const lines = plain(fixture, width).split('\n').map(stripVTControlCharacters)
    expect(lines.filter((line) => widthOf(line) > width)).toEqual([])
  })

  it('shows a grid with signs and a legend, the same above and below its diagonal', () => {
    const lines = plain(fixture).split('\n')
    expect(lines).toContain(' 1  morning-1        ·   =   ≈   ≠   ?')
    expect(lines).toContain(' 3  img-src-x        ≈   ≠   ·')
    expect(lines).toContain('    = comparable   ≈ adjustable   ≠ not comparable   ? unknown')
  })

  it('falls back to a list when the runs are many', () => {
    const runs = Array.from({ length: 60 }, (_, i) => run(`run-${i}`, 8))
    const pairs = runs.slice(1).map(({ id }) => pair('run-0', id))
    const text = plain({ ...fixture, runs, pairs })
    expect(text).not.toContain('   ·')
    expect(text).toContain('… and 20 more drives (all in runs.csv)')
    expect(text).toContain('… and 29 more pairs (all in pairs.csv)')
  })

  it('has no control character of a name, and no colour unless asked', () => {
    expect(plain(fixture).replaceAll('\n', '')).not.toMatch(/[\p{Cc}\u202E]/u)
    const coloured = terminalSummary(fixture, { width: 100, color: true })
    expect(stripVTControlCharacters(coloured)).toBe(plain(fixture))
    expect(coloured).not.toBe(plain(fixture))
  })

  it('groups problems and counts those it leaves out', () => {
    const one = fixture.problems[1]
    const text = plain({ ...fixture, problems: Array.from({ length: 8 }, (_, i) => ({ ...one, path: `f${i}` })) })
    expect(text).toContain('8 warnings\n  unrecognised\n    f0: this is none')
    expect(text).toContain('… and 5 more (all in report.json)')
  })
})

describe('the answer', () => {
  const [comparable, adjustable, wet, unknown, large] = fixture.pairs
  const withPairs = (...pairs: Report['pairs']) => answerOf({ ...fixture, pairs, problems: [] })

  it.each([
    ['all pass', [comparable], 'Yes, the two drives can be compared as measured.'],
    [
      'only after adjusting',
      [adjustable, large],
      'Only after adjusting: 1 of 2 pairs of drives, and none as measured.',
    ],
    ['none', [wet, large], 'No: none of the 2 pairs of drives can be compared.'],
    ['nothing known', [unknown], 'It cannot be told: something needed is missing for every pair.'],
  ])('%s', (_, pairs, want) => {
    expect(withPairs(...pairs).headline).toBe(want)
  })

  it('names what differs most, with the worst pair, and a condition that is not carried', () => {
    const { sentences } = answerOf(fixture)
    expect(sentences).toContain(
      'In 2 pairs that do not pass, wind differs most (up to +13.0 % for img-src-x against morning-2, 90 % interval +12.0 to +14.0 %; of +12.4 % in all, +11.6 to +13.1 %).',
    )
    expect(sentences).toContain('1 pair: the road was wet in one run only, and the model does not carry that.')
  })

  it('says what to do about each cause', () => {
    expect(withPairs(comparable).nextSteps).toEqual(['Compare the fuel of the pairs marked = as measured.'])
    expect(withPairs(large).nextSteps).toEqual([
      'Where wind differs too much to adjust for, drive again with wind like that of morning-2 (3.4 m/s from 235°, headwind +0.5 m/s).',
    ])
    expect(
      withPairs(pair('morning-1', '1-1', { difference_pct: null, verdict: 'not-comparable', cause: 'other-road' }))
        .nextSteps[0],
    ).toMatch(/^Drive one road in one direction/)
    const unsure = pair('morning-1', '1-1', {
      difference_pct: { mean: 4, low90: 0, high90: 8 },
      verdict: 'not-comparable',
      cause: 'not-known-well-enough',
    })
    const speed = { ...noShares, speed: share(7) }
    expect(withPairs({ ...unsure, ...contributions(speed) }).nextSteps).toEqual([
      'Where speed or stops differs too much to adjust for, drive again with the speed of morning-1 (71 km/h while moving, 4 stops).',
    ])
    expect(withPairs(unsure).nextSteps[0]).toContain('the nearest used is up to 12 km away')
    expect(withPairs(unknown).nextSteps[0]).toContain('2024-05-03 18:05 UTC')
    expect(answerOf(fixture).nextSteps.at(-1)).toContain('the error among the problems')
    expect(answerOf({ ...fixture, runs: [], pairs: [], problems: [] }).nextSteps[0]).toContain(
      'at least two GPX tracks',
    )
  })
})

describe('words', () => {
  it('write numbers with a true minus, a sign where asked, and a dash for none', () => {
    expect([fixed(-1.25, 1), fixed(-0.01, 1), fixed(null, 1), signed(0.04, 1), signed(2, 0)]).toEqual([
      '−1.3',
      '0.0',
      '–',
      '0.0',
      '+2',
    ])
    expect([hoursAndMinutes(3600 * 2 + 299), hoursAndMinutes(59 * 60 + 40), listed(['a', 'b', 'c'])]).toEqual([
      '2 h 05 min',
      '1 h 00 min',
      'a, b and c',
    ])
  })

  it('clean names', () => {
    expect(cleaned('a\u001B[31m\u202Eb\uD800\u200B')).toBe('a\uFFFD[31m\uFFFDb\uFFFD\uFFFD')
    expect(cleaned('🚐 é ü 道')).toBe('🚐 é ü 道')
  })

  it('measure and cut by columns, not by code units', () => {
    expect([widthOf('🚐'), widthOf('道a'), widthOf('e\u0301')]).toEqual([2, 3, 1])
    expect(cut('道道道', 5)).toBe('道道…')
    expect(wrapped('one two three', 8, '- ', '  ')).toEqual(['- one', '  two', '  three'])
  })
})
