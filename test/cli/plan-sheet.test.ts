import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { CAUTIONS } from '../../src/campaign/report/assumptions.ts'
import { ceteris, folderWith, smallCampaign } from './command.ts'

let top = ''
const path = (name: string): string => join(top, name)
const sheet = (...args: string[]) => ceteris('plan', 'sheet', ...args)
/** Setups of the first table, from top to bottom. */
const orderIn = (text: string): string[] =>
  [
    ...text
      .split('Tyres, cold (')[1]
      .split('\n\n')[0]
      .matchAll(/^\| \d+ +\| (\S+)/gm),
  ].map(([, setup]) => setup)

beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-sheet-'))
  smallCampaign(path('van'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

describe('plan sheet', () => {
  it('prints the order, the boxes, the columns, what to do and the cautions of the report', () => {
    const { status, stdout, stderr } = sheet('--setups', 'bare, rack', '--drives', '2')
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
    expect(orderIn(stdout)).toEqual(['bare', 'rack', 'rack', 'bare'])
    for (const heading of ['Before each drive', 'At the pump', 'By the road', 'Typing it in', 'Cautions']) {
      expect(stdout).toContain(`\n## ${heading}\n`)
    }
    for (const caution of CAUTIONS) expect(stdout).toContain(caution)
    expect(stdout).not.toMatch(/NaN|undefined|null/)
  })

  it('takes setups, vehicle, road and time zone from a folder, and the drives from an effect', () => {
    const { status, stdout } = sheet('--folder', path('van'), '--effect', '3')
    expect(status).toBe(0)
    expect(stdout).toContain('- Vehicle: van, diesel, 2400 kg\n')
    expect(stdout).toContain('- Times in: Europe/Madrid\n')
    expect(stdout).toMatch(/^- Road: route-1, 10\d km$/m)
    const plan = JSON.parse(
      ceteris('plan', 'repeats', '--folder', path('van'), '--effect', '3', '--road-km', '104', '--json').stdout,
    )
    const each = Number(/^(\d+) drives of each setup find a change of 3.0 %/m.exec(stdout)?.[1])
    const enough = plan.designs.filter(
      (d: { route_m: number; power: number }) => d.route_m === 104_000 && d.power >= 0.8,
    )
    expect(each).toBe(enough[0].runs_per_setup)
    expect(orderIn(stdout).filter((setup) => setup === 'bare').length).toBe(each)
    expect(orderIn(stdout)[0]).toBe('ladders')
  })

  it('of a folder without tracks an effect needs the length of the road', () => {
    const folder = folderWith(path('new'), { 'campaign.yaml': 'baseline: bare\nsetups:\n  bare: []\n  rack: [rack]\n' })
    const without = sheet('--folder', folder, '--effect', '3')
    expect(without.status).toBe(2)
    expect(without.stderr).toContain('give --road-km')
    expect(sheet('--folder', folder, '--effect', '3', '--road-km', '100').status).toBe(0)
    expect(orderIn(sheet('--folder', folder).stdout)).toEqual(['bare', 'rack', 'rack', 'bare', 'bare', 'rack'])
  })

  it('writes a page, replaces it, and no other file', () => {
    const [mine, theirs] = [path('sheet.html'), path('theirs.html')]
    expect(sheet('--setups', 'a,b', '--out', mine).status).toBe(0)
    const first = readFileSync(mine, 'utf8')
    expect(sheet('--setups', 'a,c', '--out', mine).status).toBe(0)
    expect(readFileSync(mine, 'utf8')).not.toBe(first)
    for (const text of ['<!doctype html>\n<p>mine</p>\n', first.replace('<h1>', '<h1>My ')]) {
      writeFileSync(theirs, text)
      const refused = sheet('--setups', 'a,b', '--out', theirs)
      expect(refused).toMatchObject({ status: 2, stdout: '' })
      expect(refused.stderr).toContain('there is a file that this program did not write so')
      expect(readFileSync(theirs, 'utf8')).toBe(text)
    }
  })

  it.each([
    [['--setups', 'bare'], 'setups: found bare, expected at least two'],
    [[], 'the setups are not known'],
    [['--setups', 'a,b,a'], 'expected each name once'],
    [['--setups', 'a,,b'], 'expected names of 1 to 40 characters'],
    [['--setups', 'a,b,c,d,e,f,g'], 'expected at most 6'],
    [['--setups', 'a,b', '--effect', '3'], 'the length of the road is not known; give --road-km'],
    [['--setups', 'a,b', '--effect', '3', '--road-km', '50', '--drives', '2'], 'cannot be used with'],
    [['--setups', 'a,b', '--drives', '0'], 'drives'],
  ])('%j is refused, nothing is written', (args, message) => {
    const { status, stdout, stderr } = sheet(...args, '--out', path('none.html'))
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' })
    expect(stderr).toContain(message)
    expect(existsSync(path('none.html'))).toBe(false)
  })

  it('says which setups the folder does not know', () => {
    const { status, stderr } = sheet('--folder', path('van'), '--setups', 'ladders,bear')
    expect(status).toBe(0)
    expect(stderr).toContain('--setups: bear not in the folder')
  })

  it('shows names of setups as they are', () => {
    const { stdout } = sheet('--setups', 'a|b,<script>', '--out', path('names.html'))
    expect(stdout).toContain('a\\|b')
    const page = readFileSync(path('names.html'), 'utf8')
    expect(page).toContain('&lt;script&gt;')
    expect(page).not.toContain('<script')
  })
})
