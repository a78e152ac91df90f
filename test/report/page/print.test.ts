import { describe, expect, it } from 'vitest'
import type { Report } from '../../../src/report/contract.ts'
import { htmlPage } from '../../../src/report/page/page.ts'
import { fixture } from '../fixture.ts'

const problem = (severity: 'note' | 'warning'): Report['problems'][number] => ({
  path: 'a.csv',
  line: 3,
  column: null,
  code: 'some-code',
  severity,
  message: 'something',
  hint: null,
})
const problemsOf = (...problems: Report['problems']): string => {
  const page = htmlPage({ ...fixture, problems })
  const [section] = /<h2 id="problems">.*?<\/section>/s.exec(page) ?? []
  return section ?? ''
}

/** What is printed is told by two classes: see PRINT_STYLE. */
describe('on paper', () => {
  it('a table of notes, whose rows are not printed, is not printed with its head alone', () => {
    const section = problemsOf(problem('note'), problem('note'))
    expect(section).toContain('<table class="wide screen-only">')
    expect(section).toContain('<p class="paper-only">2 notes, listed in the page and in report.json.</p>')
  })

  it('warnings are printed, and the notes beside them counted', () => {
    const section = problemsOf(problem('warning'), problem('note'))
    expect(section).toContain('<table class="wide">')
    expect(section).toContain('<p class="paper-only">1 note, listed in')
    expect(problemsOf(problem('warning'))).not.toContain('paper-only')
  })

  it('no caption asks to open what paper cannot open', () => {
    const [, caption] = /<table class="pairs"[^>]*><caption>(.*?)<\/caption>/s.exec(htmlPage(fixture)) ?? []
    expect(caption?.replace(/<span class="screen-only">.*?<\/span>/, '')).toBe('Difference due to conditions')
  })
})
