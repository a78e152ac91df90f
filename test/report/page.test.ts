import { createHash } from 'node:crypto'
import { SaxesParser } from 'saxes'
import { describe, expect, it } from 'vitest'
import { QUANTITIES } from '../../src/base/quantities.ts'
import type { Report } from '../../src/report/contract.ts'
import { glyph, glyphScalePct } from '../../src/report/glyph.ts'
import { escaped } from '../../src/report/markup.ts'
import { htmlPage } from '../../src/report/page/page.ts'
import { SCRIPT } from '../../src/report/page/script/script.ts'
import { STYLE } from '../../src/report/page/style/sheet-style.ts'
import { fixture, pair } from './fixture.ts'

interface Parsed {
  elements: { name: string; attributes: Record<string, string> }[]
  text: string
}

/** Reads the page as XML, which it also is but for its doctype and four void elements: every tag must close. */
function parsed(page: string): Parsed {
  const result: Parsed = { elements: [], text: '' }
  const parser = new SaxesParser()
  parser.on('opentag', ({ name, attributes }) =>
    result.elements.push({ name, attributes: attributes as Record<string, string> }),
  )
  parser.on('text', (text) => {
    result.text += text
  })
  parser.on('error', (error) => {
    throw error
  })
  parser
    .write(
      page
        .replace('<!doctype html>\n', '')
        .replace(/<meta ([^>]*)>/g, '<meta $1/>')
        .replace(STYLE, '')
        .replace(SCRIPT, ''),
    )
    .close()
  return result
}

/** The report with a text put in the place of every text that a user or a file could have chosen. */
function withEveryText(report: Report, text: string): Report {
  const change = (value: unknown, key: string): unknown => {
    if (Array.isArray(value)) return value.map((inner) => change(inner, key))
    if (typeof value === 'object' && value !== null) {
      return Object.fromEntries(Object.entries(value).map(([name, inner]) => [name, change(inner, name)]))
    }
    const ours = [
      'schema',
      'code',
      'cause',
      'missing',
      'outside_model',
      'verdict',
      'severity',
      'kind',
      'phase',
      'relation',
      'as',
      'shape',
      'start_time',
      'end_time',
    ]
    const isOurs = ours.includes(key) || (key === 'quantity' && String(value) in QUANTITIES)
    return typeof value === 'string' && !isOurs ? text : value
  }
  return change(report, '') as Report
}

describe('the page', () => {
  const page = htmlPage(fixture)
  const { elements, text } = parsed(page)

  it('is well formed and built of headings, captioned tables and scoped header cells', () => {
    expect(elements.filter(({ name }) => name === 'h1')).toHaveLength(1)
    expect(elements.filter(({ name }) => name === 'h2').length).toBeGreaterThan(7)
    expect(elements.filter(({ name }) => name === 'caption')).toHaveLength(
      elements.filter(({ name }) => name === 'table').length,
    )
    expect(elements.filter(({ name, attributes }) => name === 'th' && !attributes.scope)).toEqual([])
    expect(elements.find(({ name }) => name === 'html')?.attributes.lang).toBe('en')
    const ids = elements.flatMap(({ attributes }) => attributes.id ?? [])
    expect(new Set(ids).size).toBe(ids.length)
  })

  it('runs nothing but its one script and fetches nothing', () => {
    const allowed = [
      'html',
      'head',
      'meta',
      'title',
      'style',
      'body',
      'main',
      'header',
      'nav',
      'section',
      'footer',
      'div',
      'span',
      'p',
      'h1',
      'h2',
      'h3',
      'dl',
      'dt',
      'dd',
      'ul',
      'ol',
      'li',
      'table',
      'caption',
      'thead',
      'tbody',
      'tr',
      'th',
      'td',
      'abbr',
      'em',
      'strong',
      'svg',
      'rect',
      'line',
      'path',
      'circle',
      'text',
      'figure',
      'figcaption',
      'script',
      'article',
      'blockquote',
      'a',
      'data',
      'button',
      'fieldset',
      'legend',
      'label',
      'input',
      'select',
      'option',
      'details',
      'summary',
      'g',
      'defs',
      'pattern',
      'h4',
      'br',
      'tspan',
    ]
    expect([...new Set(elements.map(({ name }) => name))].filter((name) => !allowed.includes(name))).toEqual([])
    const names = new Set(elements.flatMap(({ attributes }) => Object.keys(attributes)))
    expect([...names].filter((name) => /^on|^style$|^src|^data$/.test(name))).toEqual([])
    const links = elements.flatMap(({ attributes }) => attributes.href ?? [])
    expect(links.filter((link) => !/^#[\w%-]+$/.test(link))).toEqual([])
  })

  it('allows its one style sheet and its one script by their hashes and nothing else', () => {
    const hashOf = (element: string): string => {
      const inPage = new RegExp(`<${element}>([\\s\\S]*?)</${element}>`).exec(page)![1]
      return `'sha256-${createHash('sha256').update(inPage).digest('base64')}'`
    }
    expect(page).toContain(
      `content="default-src 'none'; img-src data:; font-src data:; style-src ${hashOf('style')}; script-src ${hashOf('script')}; base-uri 'none'; form-action 'none'"`,
    )
    expect(page.match(/<script/g)).toHaveLength(1)
    expect(STYLE).not.toMatch(/url\(|@import/)
    expect(SCRIPT).not.toMatch(/\beval\b|new Function|fetch\(|XMLHttpRequest|import\(|innerHTML/)
  })

  it('says the answer first and shows everything of the report', () => {
    expect(text.indexOf('Can these drives be compared?')).toBeLessThan(text.indexOf('morning-1'))
    const wanted = [
      '2 of 5 pairs can be used',
      'Roof rack on the dyke road </title>',
      '<img src=x onerror=alert(1)>.gpx',
      '=1+1.gpx',
      '🚐',
      'ab'.repeat(32),
      'Payloads differ: 75 kg and 150 kg.',
      'The recording breaks off once, for up to 42 s',
      'campaign.yaml:4:12',
      'Leave it: it does no harm.',
      'Picard et al.',
      'the driver drives',
      '+3.3 to +4.9',
      '−1.9',
      'text in utf-16le',
      '1.2199 ± 0.0021',
      'not known',
      'outside',
    ]
    expect(wanted.filter((words) => !text.includes(words))).toEqual([])
  })

  it('shows no control or direction-turning characters', () => {
    // The script's own text is indented; as built, or here, by tabulators.
    const shown = page.replace(SCRIPT, '').replaceAll('\n', '')
    expect(/[\p{Cc}\u202A-\u202E\u2066-\u2069]/u.exec(shown)).toBeNull()
  })
})

describe('whatever the texts of a report are', () => {
  const plain = parsed(htmlPage(withEveryText(fixture, 'x')))
  it.each([
    '<script>alert(1)</script>',
    '"><img src=x onerror=alert(1)>',
    "' onfocus=alert(1) autofocus='",
    '</style><script>',
    '<!--',
    ']]>',
    '&lt;b&gt;',
    '\u0000<\u0000b>',
    '\uD800',
  ])('%j changes no element and no attribute name', (text) => {
    const { elements } = parsed(htmlPage(withEveryText(fixture, text)))
    const shape = (all: Parsed['elements']) => all.map(({ name, attributes }) => `${name} ${Object.keys(attributes)}`)
    expect(shape(elements)).toEqual(shape(plain.elements))
  })

  it('escapes the five signs', () => {
    expect(escaped(`<a href="x" id='y'>&`)).toBe('&lt;a href=&quot;x&quot; id=&#39;y&#39;&gt;&amp;')
  })
})

describe('a report without', () => {
  it.each([
    ['runs', { runs: [], pairs: [], routes: [] }, 'no drive could be read'],
    ['pairs', { pairs: [] }, 'no two of them could be compared'],
    ['problems', { problems: [] }, 'None: every file was read as it stands.'],
    ['a title', { title: null }, 'Drives compared'],
  ])('%s is still a whole page', (_, without, words) => {
    expect(parsed(htmlPage({ ...fixture, ...without })).text).toContain(words)
  })
})

describe('the drawing of a pair', () => {
  const drawn = (low90: number, mean: number, high90: number) =>
    glyph(pair('a', 'b', { difference_pct: { low90, mean, high90 } }), 1, 5).markup

  it('lies on its scale: 180 wide, 8 to the edges, zero in the middle', () => {
    // Half the scale is 82 for 5 %: −2.5 % at 90 − 41 = 49, +2.5 % at 131, the band of ±1 % from 73.6 and 32.8 wide.
    expect(drawn(-2.5, 0, 2.5)).toContain('<line class="bar" x1="49" x2="131"')
    expect(drawn(-2.5, 0, 2.5)).toContain('<circle class="mean" cx="90"')
    expect(drawn(-2.5, 0, 2.5)).toContain('<rect class="band" x="73.6" y="1" width="32.8"')
  })

  it('shows by an arrow and in words what is beyond the scale', () => {
    expect(drawn(4, 9, 14)).toContain('class="arrow"')
    expect(drawn(4, 9, 14)).not.toContain('class="mean"')
    expect(drawn(4, 9, 14)).toContain('aria-label="+9.0 %, 90 % interval +4.0 to +14.0 %, margin ± 1 %"')
    expect(drawn(-1, 0, 1)).not.toContain('class="arrow"')
  })

  it('has one scale for all pairs, never over six margins', () => {
    expect(glyphScalePct(fixture)).toBe(6)
    expect(glyphScalePct({ ...fixture, pairs: fixture.pairs.slice(0, 1) })).toBe(2.5)
  })
})
