import { DOMParser } from '@xmldom/xmldom'
import { describe, expect, it } from 'vitest'
import { alternativeTexts, type CardChoice, cardsOf } from '../../../src/report/cards/cards.ts'
import { fitted, paragraph, text } from '../../../src/report/cards/label.ts'
import { standaloneSvg, svgForFontFiles } from '../../../src/report/cards/marks.ts'
import { textWidth } from '../../../src/report/cards/typeface.ts'
import type { Report, ReportClaim } from '../../../src/report/contract.ts'
import { claim, HOSTILE_SETUP, withClaims } from '../claims-fixture.ts'
import { fixture, run } from '../fixture.ts'
import { typefaces } from './typefaces.ts'

const cards = cardsOf(withClaims, 'some', typefaces)
const names = (report: Report, choice: CardChoice): string[] =>
  cardsOf(report, choice, typefaces).map(({ name }) => name)
const card = (report: Report, name: string) => cardsOf(report, 'all', typefaces).find((c) => c.name === name)!.card
const textsOf = (report: Report, name: string): string[] =>
  card(report, name).marks.flatMap((mark) => (mark.kind === 'text' ? mark.text : []))

describe('the cards of a report', () => {
  it('are a wide and a square one per claim and per run, under names of plain letters', () => {
    expect(cards).toHaveLength(2 * (withClaims.claims.length + withClaims.runs.length))
    expect(cards.slice(0, 2).map(({ name }) => name)).toEqual([
      'claim-rack-dyke-road-wide',
      'claim-rack-dyke-road-square',
    ])
    expect(cards.filter(({ name }) => !/^[a-z0-9]+(-[a-z0-9]+)*$/.test(name))).toEqual([])
    expect(new Set(cards.map(({ name }) => name)).size).toBe(cards.length)
  })

  it('name the vehicle where it has a name, cut off where it is too long for the card', () => {
    const called = (vehicle_name: string): Report => ({
      ...withClaims,
      settings: { ...withClaims.settings, vehicle_name },
    })
    for (const shape of ['wide', 'square']) {
      const card = `claim-rack-dyke-road-${shape}`
      expect(textsOf(called('red estate car'), card)).toContain('red estate car')
      expect(textsOf(withClaims, card)).toHaveLength(textsOf(called('red estate car'), card).length - 1)
      const long = textsOf(called(`estate ${'x'.repeat(190)}`), card).find((text) => text.startsWith('estate x'))
      expect(long).toMatch(/…$/)
    }
    expect(alternativeTexts(cardsOf(called('red estate car'), 'some', typefaces))).toContain('red estate car. ')
  })

  it('of a drive tell its times on the clock of the campaign, and the vehicle', () => {
    const settings = { ...fixture.settings, time_zone: 'Asia/Kolkata', vehicle_name: 'red estate car' }
    const report: Report = { ...fixture, settings, runs: [run('run-0', 8)] }
    for (const shape of ['wide', 'square']) {
      // India is 5 h 30 min ahead of UTC all year (IANA time zone database, Asia/Kolkata): 08:05 to 08:58 UTC.
      expect(textsOf(report, `run-run-0-${shape}`)).toContain('2024-05-03, 13:35 to 14:28 Asia/Kolkata')
      expect(textsOf(report, `run-run-0-${shape}`).join('\n')).toContain('red estate car')
      const utc = textsOf({ ...report, settings: { ...settings, time_zone: null } }, `run-run-0-${shape}`)
      expect(utc).toContain('2024-05-03, 08:05 to 08:58 UTC')
    }
    const list = alternativeTexts(cardsOf(report, 'some', typefaces))
    expect(list).toContain('red estate car. Driven 2024-05-03, 13:35 to 14:28 Asia/Kolkata')
  })

  it('are those of the first 12 runs unless all are asked for', () => {
    const many = { ...fixture, runs: Array.from({ length: 15 }, (_, i) => run(`run-${i}`, 8)) }
    expect(names(many, 'some')).toHaveLength(24)
    expect(names(many, 'all')).toHaveLength(30)
    expect(names(many, 'none')).toEqual([])
  })

  it('have names apart where the plain letters are the same', () => {
    const twins = { ...fixture, runs: [], claims: [claim({ setup: 'a b' }), claim({ setup: 'A/b' })] }
    expect(names(twins, 'some').filter((name) => name.endsWith('wide'))).toEqual([
      'claim-a-b-dyke-road-wide',
      'claim-a-b-dyke-road-2-wide',
    ])
  })

  it('have their alternative texts in a list', () => {
    const list = alternativeTexts(cards)
    expect(list).toContain(
      'claim-rack-dyke-road-wide\nClaim: "rack" compared with "bare" on dyke-road. Roof rack on the dyke road',
    )
    expect(list.split('\n\n')).toHaveLength(cards.length)
  })
})

describe('a claim card', () => {
  it('says change, interval, verdict, runs and days', () => {
    for (const shape of ['wide', 'square']) {
      const texts = textsOf(withClaims, `claim-rack-dyke-road-${shape}`).join('\n')
      for (const words of [
        'rack',
        'compared with bare',
        '\n5.1 %\nmore fuel',
        '+2.9 to +7.4 %',
        'SUPPORTED',
        'against 2',
        '2024-05-03',
      ]) {
        expect(texts).toContain(words)
      }
      expect(texts).toContain('The pump and trip computer disagree')
      const drawn = cardsOf(withClaims, 'all', typefaces).find(({ name }) => name === `claim-rack-dyke-road-${shape}`)
      expect(drawn?.card.description).toContain('The pump and trip computer disagree')
      // By hand from the fixture: one drive with the rack; 7.4 against 7.1 l/100 km; a pair comparable, one not.
      for (const words of [
        'more fuel for the same',
        'SUPPORTED BY ONE DRIVE',
        'as measured',
        '7.40 against 7.10 l/100 km, as measured',
        'pairs that can be compared\n',
        'Roof rack on the dyke road',
      ]) {
        expect(texts).toContain(words)
      }
    }
  })

  it('draws less fuel in another colour than more, and neither where nothing is shown', () => {
    const colours = (changes: Partial<ReportClaim>): string[] => {
      const report = { ...withClaims, claims: [claim({ setup: 'rack', ...changes })] }
      return card(report, 'claim-rack-dyke-road-wide').marks.flatMap((mark) =>
        mark.kind === 'text' && / %$/.test(mark.text) && mark.size > 100 ? mark.color : [],
      )
    }
    const less = colours({ adjusted_consumption_change_pct: { estimate: -4, low95: -6, high95: -2 } })
    const more = colours({})
    const none = colours({ verdict: 'unresolved' })
    expect(new Set([less, more, none].flat()).size).toBe(3)
  })

  it('says why where there is no figure, and gives none', () => {
    const texts = textsOf(withClaims, 'claim-img-src-x-onerror-alert-1-wide')
    expect(texts).toContain('NOT TESTABLE')
    expect(texts).toContain('?')
    expect(texts.join(' ')).toContain('Cannot be tested: no drive was made with')
    expect(texts.filter((words) => words.includes(' %'))).toEqual([])
  })
})

describe('a conditions card', () => {
  it('says when, how warm, how dense the air, the wind and its headwind, speed, road and setup', () => {
    for (const shape of ['wide', 'square']) {
      const texts = textsOf(withClaims, `run-img-src-x-${shape}`)
      expect(texts).toEqual(
        expect.arrayContaining([
          '2024-05-03, 14:05 to 14:58 Europe/Amsterdam',
          '24.8',
          '1.174',
          '± 0.002',
          '6.8',
          'from 275°',
          '2.4',
        ]),
      )
      expect(texts).toEqual(
        expect.arrayContaining(['headwind, m/s', '71', 'dyke-road, loop', expect.stringMatching(/^setup: <img src=x/)]),
      )
    }
  })

  it('calls a negative headwind a tailwind', () => {
    const report = { ...fixture, runs: [run('r', 8, { wind: { headwind_mps: -1.26 } })] }
    expect(textsOf(report, 'run-r-wide')).toEqual(expect.arrayContaining(['tailwind, m/s', '1.3']))
  })

  it('points its arrow the way the wind blows', () => {
    const tipOf = (from_deg: number): { x: number; y: number } => {
      const report = { ...fixture, runs: [run('r', 8, { wind: { from_deg } })] }
      const tip = card(report, 'run-r-wide').marks.findLast(
        (m) => m.kind === 'path' && m.d.endsWith('z') && m.fill === '#1b5a9a',
      )!
      const [x, y] = /^M([\d.]+) ([\d.]+)/
        .exec(tip.kind === 'path' ? tip.d : '')!
        .slice(1)
        .map(Number)
      return { x, y }
    }
    const [north, west] = [tipOf(0), tipOf(270)]
    expect(north.y).toBeGreaterThan(west.y)
    expect(west.x).toBeGreaterThan(north.x)
  })

  it('draws no arrow without a direction', () => {
    const name = cards.find((c) => c.name.startsWith('run-dijk'))!.name
    expect(textsOf(withClaims, name)).toContain('wind not known')
  })
})

describe('the SVG of a card', () => {
  const svgs = cards.map(({ card: drawn }) => standaloneSvg(drawn, typefaces))
  const problems: string[] = []
  const parsed = svgs.map((svg) =>
    new DOMParser({ onError: (level, message) => level !== 'warning' && problems.push(message) }).parseFromString(
      svg,
      'image/svg+xml',
    ),
  )

  it('is well-formed, has its size, and no element or address but its own', () => {
    expect(problems).toEqual([])
    const allowed = new Set(['svg', 'title', 'desc', 'style', 'g', 'text', 'path'])
    for (const [i, document] of parsed.entries()) {
      const elements = Array.from(document.getElementsByTagName('*'), (element) => element.tagName)
      expect(elements.filter((name) => !allowed.has(name))).toEqual([])
      expect(svgs[i]).toMatch(/^<svg [^>]*width="(1920|1080)" height="1080"/)
      expect(svgs[i].match(/url\((?!data:font)|href|@import/g)).toBeNull()
    }
  })

  it('names itself and says in words what it shows', () => {
    const part = (i: number, name: string): string => parsed[i].getElementsByTagName(name)[0].textContent ?? ''
    expect(part(0, 'title')).toBe('Claim: "rack" compared with "bare" on dyke-road')
    expect(part(0, 'desc')).toContain('+5.1 % consumption (95 % interval +2.9 to +7.4 %)')
    expect(part(2, 'title')).toContain(HOSTILE_SETUP)
    expect(part(8, 'desc')).toContain(
      'Driven 2024-05-03, 10:05 to 10:58 Europe/Amsterdam with the setup bare, 61.2 km.',
    )
  })

  it('keeps hostile names as text', () => {
    expect(svgs.join('')).not.toContain('<img')
    expect(svgs.join('')).toContain('&lt;img src=x onerror=alert(1)&gt;')
    expect(svgs.join('').replaceAll('\n', '')).not.toMatch(/[\p{Cc}\u202E\uFFFE\uFFFF]/u)
  })

  it('is the same each time', () => {
    expect(cardsOf(withClaims, 'some', typefaces).map((c) => standaloneSvg(c.card, typefaces))).toEqual(svgs)
  })

  it('has question marks for what the font lacks only where no other font can help', () => {
    const van = cards.find((c) => c.name.startsWith('run-dijk'))!.card
    expect(standaloneSvg(van, typefaces)).toContain('>🚐-dijk')
    expect(svgForFontFiles(van, typefaces)).toContain('>?-dijk')
  })
})

describe('texts on a card', () => {
  const long = text(0, 0, 'a-name-that-goes-on-'.repeat(9), 50)

  it('are made smaller, then cut', () => {
    const mark = fitted(long, 400, typefaces)
    expect(mark.text).toMatch(/…$/)
    expect(mark.size).toBe(37.5)
    expect(textWidth(mark.text, mark.size, typefaces[500])).toBeLessThanOrEqual(400)
    const slightly = fitted(text(0, 0, 'temperature, °C', 31), 175, typefaces)
    expect(slightly).toMatchObject({ text: 'temperature, °C' })
    expect(slightly.size).toBeLessThan(31)
  })

  it('never leave their card', () => {
    const report = {
      ...withClaims,
      runs: [run('x'.repeat(200), 8, { setup: 'W'.repeat(200), route: 'M'.repeat(90) })],
      claims: [claim({ setup: 'W'.repeat(200), baseline: 'M'.repeat(200), cautions: ['word '.repeat(200)] })],
    }
    for (const { card: drawn } of cardsOf(report, 'all', typefaces)) {
      for (const mark of drawn.marks) {
        if (mark.kind !== 'text') continue
        const width = textWidth(mark.text, mark.size, typefaces[mark.weight])
        const left = mark.x - { start: 0, middle: 0.5, end: 1 }[mark.anchor] * width
        expect(left).toBeGreaterThan(40)
        expect(left + width).toBeLessThan(drawn.width - 40)
        expect(mark.y).toBeGreaterThan(drawn.clearAbove)
        expect(mark.y).toBeLessThan(1026)
      }
    }
  })

  it('hold a caption with its unit, and a reservation of two lines in full', () => {
    const caption = 'mean speed while moving, km/h'
    const drive = cards.find(({ name }) => /^run-.*-wide$/.test(name))
    expect(drive?.card.marks.map((mark) => (mark.kind === 'text' ? mark.text : ''))).toContain(caption)
    const change_over_span_pct = { estimate: 7, low95: 1.9, high95: 12.4 }
    const drift = { runs: ['a', 'b', 'c', 'd'], span_hours: 72, corrected: false, resolved: true, sentence: '' }
    const report = { ...withClaims, claims: [claim({ evidence: [], drift: { ...drift, change_over_span_pct } })] }
    for (const shape of ['wide', 'square']) {
      const told = textsOf(report, `claim-rack-dyke-road-${shape}`).join(' ')
      expect(told).toMatch(/Over 3 days, .* a drift, which is not removed\./)
    }
  })

  it('are wrapped, and cut at the last line', () => {
    const lines = paragraph(text(0, 0, 'one two three four five six', 40), 180, 2, typefaces)
    expect(lines).toHaveLength(2)
    expect(lines[0].text).toMatch(/^one two/)
    expect(lines[1].text).toMatch(/ …$/)
    for (const mark of lines) expect(textWidth(mark.text, mark.size, typefaces[500])).toBeLessThanOrEqual(180)
    expect(lines[1].y).toBeGreaterThan(lines[0].y)
  })
})
