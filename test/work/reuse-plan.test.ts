import { describe, expect, it } from 'vitest'
import type { Report } from '../../src/report/contract.ts'
import type { Receipt } from '../../src/work/receipt.ts'
import { type Known, planReuse } from '../../src/work/reuse-plan.ts'

const file = (path: string) => ({ path, absolutePath: `/c/${path}`, size: 1 })
const receipt: Receipt = {
  inputs: [
    ['a.gpx', 'A'],
    ['b.gpx', 'B'],
  ],
  unlisted: [],
  outputs: { 'report.json': 'R', 'cards/a.svg': 'S' },
  pairKeys: null,
  report: {} as Report,
}
const known: Known = {
  files: [
    { file: file('a.gpx'), sha256: 'A' },
    { file: file('b.gpx'), sha256: 'B' },
  ],
  unlisted: [],
  receipt,
  outputs: { 'cards/a.svg': 'S', 'report.json': 'R' },
  holds: () => true,
}
const note = { code: 'link-out-of-folder', severity: 'warning', message: 'm' } as const

describe('what of earlier calls serves this one', () => {
  it('is the whole report where all files, what was passed over and all of the report are as they were', () => {
    expect(planReuse(known).unchanged).toBe(true)
  })

  const changes: [what: string, change: Partial<Known>][] = [
    ['there was no report', { receipt: null }],
    ['the report is gone', { outputs: null }],
    ['a file of the report was changed', { outputs: { ...known.outputs, 'report.json': 'mine' } }],
    ['a file lies in the report', { outputs: { ...known.outputs, 'mine.txt': 'M' } }],
    ['a file of the report is gone', { outputs: { 'report.json': 'R' } }],
    ['a file has another content', { files: [known.files[0], { file: file('b.gpx'), sha256: 'C' }] }],
    ['a file has another name', { files: [known.files[0], { file: file('c.gpx'), sha256: 'B' }] }],
    ['a file was added', { files: [...known.files, { file: file('c.gpx'), sha256: 'C' }] }],
    ['a file was removed', { files: [known.files[0]] }],
    ['a file cannot be read', { files: [known.files[0], { file: file('b.gpx'), sha256: '' }] }],
    ['something else was passed over', { unlisted: [note] }],
  ]
  it.each(changes)('is not the report where %s', (_what, change) => {
    expect(planReuse({ ...known, ...change }).unchanged).toBe(false)
  })

  it('is for each file what the cache holds of its content', () => {
    const { files } = planReuse({ ...known, holds: (path, sha256) => path === 'b.gpx' && sha256 === 'B' })
    expect(files.map(({ file, sha256, from }) => [file.path, sha256, from])).toEqual([
      ['a.gpx', 'A', 'file'],
      ['b.gpx', 'B', 'cache'],
    ])
  })
})
