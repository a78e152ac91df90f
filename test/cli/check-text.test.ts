import { expect, it } from 'vitest'
import type { Finding } from '../../src/check/check-campaign.ts'
import { checkText } from '../../src/cli/check-text.ts'
import { fixture } from '../report/fixture.ts'

const finding = (costPoints: number, facts: Finding['about'], changes: Partial<Finding> = {}): Finding => ({
  code: facts.kind === 'weakness' ? facts.facts.code : facts.kind,
  severity: 'warning',
  about: facts,
  costPoints,
  rough: false,
  blocks: false,
  runs: [],
  withoutAnswer: [],
  path: null,
  line: null,
  column: null,
  ...changes,
})
const weak = (sdK: number): Finding['about'] => ({
  kind: 'weakness',
  facts: { code: 'temperature-from-afar', sdK },
  of: 3,
})
const measure = { of: 'claims' as const, count: 1, widthPoints: 6, assumed: false }
const textOf = (findings: Finding[]): string =>
  checkText({ report: fixture, measure, findings }, { width: 100, color: false })

it('what costs too little to show is said once, without advice for each, and what blocks an answer stays', () => {
  const text = textOf([
    finding(1.2, weak(5)),
    finding(0.04, weak(2), { blocks: true }),
    finding(0.04, weak(1)),
    finding(0.01, weak(0.5)),
  ])
  const [before, after] = text.split('Putting any one of these right gains less than 0.1 point:\n')
  expect(before.match(/→/g)).toHaveLength(2)
  expect(before.match(/< 0\.1/g)).toHaveLength(2)
  expect(after.match(/^ {9}- The temperature/gm)).toHaveLength(2)
  expect(after).not.toMatch(/→|< 0\.1/)
})
