import fc from 'fast-check'
import MarkdownIt from 'markdown-it'
import { describe, expect, it } from 'vitest'
import { markdownReport } from '../../src/report/markdown.ts'
import { markdownTable, markdownText } from '../../src/report/markdown-text.ts'
import { claim, withClaims } from './claims-fixture.ts'
import { fixture, pair, run } from './fixture.ts'

describe('text in Markdown', () => {
  // CommonMark 0.31.2: 2.4 backslash escapes, 2.5 entities, 4.2 ATX headings, 5.2 list items, 6.5 raw HTML;
  // GitHub Flavored Markdown 0.29: 4.10 tables, 6.9 autolinks.
  it.each([
    ['<img src=x onerror=alert(1)>', '&lt;img src=x onerror=alert(1)&gt;'],
    ['[x](javascript:alert(1))', '\\[x\\](javascript:alert(1))'],
    ['![x](y)', '\\!\\[x\\](y)'],
    ['a|b', 'a\\|b'],
    ['`code` *a* _b_ ~c~ $d$', '\\`code\\` \\*a\\* \\_b\\_ \\~c\\~ \\$d\\$'],
    ['\\|', '\\\\\\|'],
    ['&lt;', '&amp;lt;'],
    ['# heading', '\\# heading'],
    ['- item', '\\- item'],
    ['1. item', '1\\. item'],
    ['---', '\\---'],
    ['> quote', '&gt; quote'],
    ['https://example.org', 'https\\://example.org'],
    ['www.example.org', 'www\\.example.org'],
    ['ask @someone', 'ask @&#8203;someone'],
    ['two\nlines', 'two\uFFFDlines'],
    ['+4.2 %, 1.5 km', '+4.2 %, 1.5 km'],
    ['2026-04-14-a', '2026-04-14-a'],
    ['7.08 l/100 km', '7.08 l/100 km'],
    ['= comparable', '= comparable'],
    ['weekday_1__ios-2', 'weekday_1__ios-2'],
    ['_emphasis_ and __strong__', '\\_emphasis\\_ and \\_\\_strong\\_\\_'],
  ])('%j is written as %j', (text, want) => {
    expect(markdownText(text)).toBe(want)
  })

  // markdown-it 14 is an independent reader of CommonMark with the tables of GitHub.
  it('is read back by another reader as it was, as a line and in a cell', () => {
    const reader = new MarkdownIt({ linkify: true })
    const plain = (html: string): string =>
      html
        .replace(/<[^>]*>/g, '')
        .replaceAll('&lt;', '<')
        .replaceAll('&gt;', '>')
        .replaceAll('&quot;', '"')
        .replaceAll('&amp;', '&')
        .replaceAll('\u200B', '')
        .trim()
    const signs = fc.constantFrom(...'_*`~[]()!#=-+.:1a é|\\<>&$^@'.split(''))
    fc.assert(
      fc.property(fc.string({ unit: signs, minLength: 1, maxLength: 14 }), (drawn) => {
        const text = drawn.replace(/\s+/g, ' ').trim()
        fc.pre(text !== '')
        expect(reader.render(markdownText(text))).toMatch(/^<p>/)
        expect(plain(reader.render(markdownText(text)))).toBe(text)
        const table = markdownTable([{ header: 'a', align: 'left', cell: (row: string) => row }], [text])
        expect(plain(reader.render(table).replace(/<thead>.*<\/thead>/s, ''))).toBe(text)
      }),
      { numRuns: 500 },
    )
  })

  it('cannot end a cell of a table', () => {
    const table = markdownTable([{ header: 'a', align: 'left', cell: (row: string) => row }], ['x | y', '\\| z'])
    expect(table).toBe('| a |\n| --- |\n| x \\| y |\n| \\\\\\| z |\n')
  })
})

describe('the report as Markdown', () => {
  const text = markdownReport(withClaims)

  it('has the answer first, then what to do, claims, drives, conditions, pairs, problems and cautions', () => {
    const order = [
      '# Roof rack on the dyke road',
      '**Can I compare?** Yes: all 5 drives can be used.',
      '**Did it help?** ',
      '- rack, dyke-road: 5.1 % more fuel (2.9 to 7.4 %), 1 drive against 2: ',
      '**What next?** ',
      '## What to do next',
      '## Claims',
      '- "rack" compared with "bare"',
      '> With rack, compared with bare on dyke-road, the vehicle used 5.1 % more fuel',
      'The pump and trip computer disagree',
      '### Parts',
      '## Drives',
      '## Conditions',
      '## Pairs',
      '## Problems',
      '## Cautions',
      'Computed by ceteris 0.1.0 with 400 draws, seed 1.',
    ]
    const places = order.map((words) => text.indexOf(words))
    expect(places).not.toContain(-1)
    expect(places).toEqual(places.toSorted((a, b) => a - b))
  })

  it('tells of each pair which condition makes most of its difference, with its interval', () => {
    expect(text).toMatch(/\+4\.1 \| \+3\.3 to \+4\.9 \| 0 \| wind \+7\.2 \(\+6\.3 to \+8\.1\) \|/)
  })

  it('has no markup but its own', () => {
    expect(text).not.toMatch(/<[a-z/!]/i)
    expect(text).not.toMatch(/(?<!\\)\]\(/)
    expect(text.replaceAll('\n', '')).not.toMatch(/[\p{Cc}\u202E]/u)
  })

  it('has as many cells in each row of a table as in its head', () => {
    const cells = (line: string): number => line.split(/(?<!\\)\|/).length
    const tables = text.split('\n\n').filter((block) => block.startsWith('| '))
    expect(tables).toHaveLength(4)
    for (const table of tables) {
      const lines = table.trimEnd().split('\n')
      expect(lines.map(cells)).toEqual(lines.map(() => cells(lines[0])))
    }
  })

  it('has only the parts that there is something for', () => {
    const empty = markdownReport({
      ...fixture,
      title: null,
      runs: [],
      sources: [],
      pairs: [],
      problems: [],
      cautions: [],
    })
    expect(empty.match(/^#+ .*$/gm)).toEqual(['# Drives compared', '## What to do next'])
  })

  it('stays short where runs and pairs are many', () => {
    const runs = Array.from({ length: 300 }, (_, i) => run(`run-${i}`, 8))
    const pairs = runs.slice(1).map(({ id }) => pair('run-0', id))
    const long = markdownReport({ ...fixture, runs, pairs, claims: [claim()] })
    expect(long).toContain('… and 240 more drives (all in runs.csv).')
    expect(long).toContain('… and 239 more pairs (all in pairs.csv).')
    // What issue trackers commonly take in one entry.
    expect(long.length).toBeLessThan(65_536)
  })
})
