import { stripVTControlCharacters } from 'node:util'
import { describe, expect, it } from 'vitest'
import { fixed, signed } from '../../src/base/figures.ts'
import { cleaned } from '../../src/base/names.ts'
import type { Report } from '../../src/report/contract.ts'
import { terminalSummary } from '../../src/report/terminal/terminal.ts'
import { cut, widthOf, wrapped } from '../../src/report/terminal/terminal-text.ts'
import { hoursAndMinutes, listed } from '../../src/report/words.ts'
import { withClaims } from './claims-fixture.ts'
import { fixture, pair, run } from './fixture.ts'

const plain = (report: Report, width = 100): string => terminalSummary(report, { width, color: false })

describe('the summary', () => {
  it('says the answer first, then drives, pairs, what to do next, the problems, and the answer again', () => {
    const text = plain(fixture)
    const order = [
      'Can I compare?',
      'Did it help?',
      'What next?',
      '\nDrives\n',
      '\nPairs\n',
      'Of 5 pairs on one road, 1 is comparable as measured',
      '\nWhat to do next\n',
      '\nProblems\n',
      'campaign.yaml:4:12',
      '\nIn short\nCan I compare?',
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

  it('says why a drive is compared with no other, and what its blank row means', () => {
    const flag = {
      code: 'moves-like-bicycle',
      severity: 'warning' as const,
      message: '',
      figures: { usual_mps: 5, top_mps: 6 },
    }
    const runs = [run('first', 8), run('second', 9), run('bike', 10, { flags: [flag] })]
    const report = { ...fixture, runs, pairs: [pair('first', 'second')] }
    const text = plain(report, 80).replace(/\s+/g, ' ')
    // 5 m/s and 6 m/s are 18 and 21.6 km/h.
    expect(text).toContain('bike: Moves like a bicycle, 18 km/h in the middle and 22 km/h at most.')
    expect(text).toContain('write yes into the column test_vehicle of runs.csv if it is not.')
    expect(text).toContain('blank row: left out')
    const all = { ...report, runs: runs.slice(0, 2) }
    expect(plain(all)).not.toContain('blank row')
  })

  it('shows a wet road before the headwind where the width is small, and says what it leaves out', () => {
    const text = plain(fixture, 60)
    const [head] = text.split('\nDrives\n')[1].split('\n')
    expect(head).toContain('road')
    expect(head).not.toContain('head')
    expect(text).toMatch(/\(not shown at this width: [^)]*head/)
    expect(text).toMatch(/\(not shown at this width: [^)]*smallest\s+passing\s+margin/)
  })

  it.each([60, 80, 120])(
    'has the figures of the claims within the first 14 lines of %d columns, and at its end',
    (width) => {
      const lines = plain(withClaims, width).split('\n')
      for (const part of [lines.slice(0, 14), lines.slice(-20)]) {
        // From the fixture: +5.1 % (+2.9 to +7.4), +0.4 % (−1.9 to +2.7).
        expect(part.join(' ').replace(/\s+/g, ' ')).toContain(
          'rack, dyke-road: 5.1 % more fuel (2.9 to 7.4 %), 1 drive against 2',
        )
        expect(part.join(' ').replace(/\s+/g, ' ')).toContain('0.4 % more fuel (1.9 % less to 2.7 % more)')
      }
    },
  )

  it('does not say the answer twice where it is still to be seen', () => {
    const short = plain({ ...fixture, runs: [run('first', 8)], pairs: [], problems: [] })
    expect(short.split('\n').length).toBeLessThan(25)
    expect(short.match(/Can I compare\?/g)).toHaveLength(1)
    expect(plain(fixture).match(/Can I compare\?/g)).toHaveLength(2)
  })

  it('says of one pair, or of pairs of one kind, what they are without counting twice', () => {
    const runs = [run('first', 8), run('second', 9), run('third', 10)]
    const pairs = [pair('first', 'second'), pair('first', 'third')]
    expect(plain({ ...fixture, runs, pairs })).toContain('All 2 pairs on one road are comparable as measured.')
    expect(plain({ ...fixture, runs, pairs: pairs.slice(0, 1) })).toContain(
      'The one pair on one road is comparable as measured.',
    )
  })

  it('says why drives are excluded, each reason once', () => {
    const use = { ...fixture.runs[0].use, as: 'left-out' as const, reason: 'the tyres were changed on the way' }
    const runs = fixture.runs.map((each, i) =>
      i < 2 ? { ...each, use: { ...use, why: { code: 'stated', note: use.reason } as const } } : each,
    )
    const text = plain({ ...fixture, runs }, 120)
    expect(text).toContain(`Excluded: ${runs[0].id} and ${runs[1].id}, each: the tyres were changed on the way.`)
    expect(text.split('\n').filter((line) => line.includes('excluded: as noted'))).toHaveLength(2)
  })

  it('names once what is known of no drive', () => {
    const air = { ...fixture.runs[0].air, temperature_c: null, density_kgm3: null, road_wet: null }
    const runs = fixture.runs.map((each) => ({ ...each, air }))
    const text = plain({ ...fixture, runs })
    expect(text).toContain('(not known of any drive shown: °C, kg/m³, road)')
    expect(text.split('\nDrives\n')[1].split('\n')[0]).not.toContain('road')
  })

  it('keeps names apart that are alike at both ends', () => {
    const ids = [1, 2, 3].map((number) => `freeway-driving-weekday-${number}-with-the-rack-on`)
    const text = plain({ ...fixture, runs: ids.map((id) => run(id, 8)), pairs: [] })
    for (const number of [1, 2, 3]) expect(text).toMatch(new RegExp(`^${number}  \\S+…\\S*-${number}-\\S+ `, 'm'))
  })

  it('shows on which side of the margin the end of an interval lies', () => {
    const difference_pct = { mean: -0.7, low90: -2.0001, high90: 0.6 }
    const pairs = [{ ...pair('first', 'second'), difference_pct }]
    const report = { ...fixture, runs: [run('first', 8), run('second', 9)], pairs }
    const text = plain({ ...report, settings: { ...fixture.settings, margin_pct: 2 } }, 120)
    expect(text).toContain('−2.1 to +0.6')
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
    // Default ignorable by Unicode (soft hyphen, zero-width space), and a half-width letter (UAX #11).
    expect([widthOf('a\u00ADb'), widthOf('a\u200Bb'), widthOf('ｶ')]).toEqual([2, 2, 1])
    expect(cut('道道道', 5)).toBe('道道…')
    expect(wrapped('one two three', 8, '- ', '  ')).toEqual(['- one', '  two', '  three'])
  })
})
