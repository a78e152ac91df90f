import { describe, expect, it } from 'vitest'
import { plainText } from '../../../src/base/sentence.ts'
import { findingWords } from '../../../src/report/words/checks/findings.ts'
import { someNames, type WeaknessFacts, weaknessWords } from '../../../src/report/words/checks/weaknesses.ts'

const told = (facts: WeaknessFacts, ids: string[], of: number, system: 'si' | 'us' = 'si'): string =>
  plainText(weaknessWords(facts, { ids, of }).message, system)

describe('a weakness in words', () => {
  const undirected = { code: 'wind-direction-unknown' } as const
  it('counts the drives it concerns', () => {
    expect(told(undirected, ['a'], 1)).toMatch(/^The drive has a wind without direction/)
    expect(told(undirected, ['a'], 3)).toMatch(/^1 drive has .*: a$/)
    expect(told(undirected, ['a', 'b'], 3)).toMatch(/^2 drives have .*: a and b$/)
    expect(told(undirected, ['a', 'b', 'c'], 3)).toMatch(/^All drives have .*: a, b and c$/)
  })

  it('has its figures in the units asked for, standard deviations without a zero point', () => {
    // 1.8 °F to 1 °C (NIST SP 811, B.8).
    const facts = { code: 'temperature-from-afar', sdK: 2 } as const
    expect(told(facts, [], 3)).toMatch(/up to 2\.0 °C$/)
    expect(told(facts, [], 3, 'us')).toMatch(/up to 3\.6 °F$/)
  })

  it('names up to five, and how many more', () => {
    expect(plainText(someNames(['a', 'b', 'c', 'd', 'e']))).toBe('a, b, c, d and e')
    expect(plainText(someNames(['a', 'b', 'c', 'd', 'e', 'f', 'g']))).toBe('a, b, c, d, e and 2 more')
  })

  it('says what to write into which file where there is no fuel', () => {
    const { message, fix } = weaknessWords(
      { code: 'no-fuel', table: 'my runs.csv', used: 'fuel' },
      { ids: ['a'], of: 2 },
    )
    expect(plainText(message)).toBe('1 drive has no fuel and counts in no claim: a')
    expect(plainText(fix)).toContain('into my runs.csv.')
  })
})

describe('a finding in words', () => {
  it('shows control characters in a name or message as signs', () => {
    const about = { kind: 'flag', first: 'a\u001b[31m', message: 'x\u0007', more: 0 } as const
    const { message } = findingWords({ code: 'gaps', severity: 'warning', about, runs: [] })
    expect(plainText(message)).not.toMatch(/\p{Cc}/u)
  })

  it('has a fix for problems that bring no hint', () => {
    const about = { kind: 'problem', message: 'm', hint: null } as const
    expect(plainText(findingWords({ code: 'other', severity: 'error', about, runs: [] }).fix)).toMatch(
      /^Correct the file/,
    )
  })
})
