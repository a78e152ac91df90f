import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, it } from 'vitest'
import { ceteris, shortCampaign } from './command.ts'

const top = mkdtempSync(join(tmpdir(), 'own-report-'))
afterAll(() => rmSync(top, { recursive: true }))

const reportOf = (folder: string, out: string) => {
  expect(ceteris('report', folder, '--out', out, '--no-cache', '--quiet', '--cards', 'none').status).toBe(0)
  return JSON.parse(readFileSync(join(out, 'report.json'), 'utf8'))
}

it('files of a report beside the tracks, as a browser saves them, are told of and change nothing', () => {
  const folder = shortCampaign(join(top, 'short'))
  const first = reportOf(folder, join(top, 'first'))
  const files = readdirSync(join(top, 'first')).filter((name) => statSync(join(top, 'first', name)).isFile())
  const copied = files.filter((name) => !name.startsWith('.')).map((name) => `saved ${name}`)
  for (const name of copied) copyFileSync(join(top, 'first', name.slice('saved '.length)), join(folder, name))

  const second = reportOf(folder, join(top, 'second'))
  for (const key of ['settings', 'runs', 'pairs', 'claims']) expect(second[key]).toEqual(first[key])
  const told = second.problems.filter(({ path }: { path: string | null }) => path?.startsWith('saved '))
  expect(told.map(({ path }: { path: string }) => path).sort()).toEqual(copied.sort())
  const ofReport = told.filter(({ message }: { message: string }) => message.includes('a report that ceteris wrote'))
  expect(ofReport.map(({ path }: { path: string }) => path)).toEqual(
    expect.arrayContaining(copied.filter((name) => !name.endsWith('.md'))),
  )
  expect(told.map(({ severity }: { severity: string }) => severity)).toEqual(copied.map(() => 'warning'))
})
