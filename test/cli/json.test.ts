import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ceteris, folderWith, STEADY_WEATHER, shortCampaign, straightTrack } from './command.ts'

let top = ''
const at = (name: string): string => join(top, name)
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-json-'))
  shortCampaign(at('whole'))
  folderWith(at('flawed'), {
    'a.gpx': straightTrack('2024-05-03T08:05:00Z'),
    'b.gpx': straightTrack('2024-05-03T08:35:00Z'),
    'empty.gpx': '',
    'weather.csv': STEADY_WEATHER,
  })
  folderWith(at('tracks'), { 'a.gpx': straightTrack('2024-05-03T08:05:00Z'), 'empty.gpx': '' })
  folderWith(at('weather'), { 'weather.csv': STEADY_WEATHER })
  folderWith(at('.'), { 'ahead.csv': STEADY_WEATHER.replaceAll('2024-05-03', '2024-05-09') })
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

const AHEAD = ['--from', '2024-05-09T08:00Z', '--draws', '50']
const ahead = (): string[] => ['--forecast', at('ahead.csv'), ...AHEAD]

/** What each command prints with --json where not all is well: its own schema, or that of a refusal. */
const CASES: [args: () => string[], status: number, schema: string][] = [
  [() => ['report', at('flawed'), '--draws', '50', '--cards', 'none'], 1, 'ceteris-report/2'],
  [() => ['report', at('weather')], 2, 'ceteris-refusal/1'],
  [() => ['report', at('whole'), '--margin', 'wide'], 2, 'ceteris-refusal/1'],
  [() => ['check', at('weather')], 2, 'ceteris-check/1'],
  [() => ['inspect', at('tracks/a.gpx'), at('tracks/empty.gpx')], 1, 'ceteris-inspect/1'],
  [() => ['init', at('tracks')], 1, 'ceteris-init/1'],
  [() => ['init', at('weather')], 2, 'ceteris-refusal/1'],
  [() => ['plan', 'repeats', '--effect', '3', '--folder', at('flawed')], 1, 'ceteris-plan-repeats/1'],
  [() => ['plan', 'repeats', '--effect', '0', '--road-km', '50'], 2, 'ceteris-refusal/1'],
  [() => ['plan', 'windows', at('flawed'), ...ahead()], 1, 'ceteris-plan-windows/1'],
  [() => ['plan', 'windows', at('whole'), '--forecast', at('nothing.csv')], 2, 'ceteris-refusal/1'],
  [() => ['watch', at('nowhere')], 2, 'ceteris-refusal/1'],
]

describe('--json', () => {
  it('prints one JSON value and nothing else, whatever happens, with the exit code of the documentation', () => {
    for (const [args, status, schema] of CASES) {
      const words = args()
      const ended = ceteris(...words, '--json')
      const told = words.join(' ').replaceAll(top, '')
      expect([told, ended.status, (JSON.parse(ended.stdout) as { schema: string }).schema]).toEqual([
        told,
        status,
        schema,
      ])
      if (schema === 'ceteris-refusal/1') {
        const { message } = JSON.parse(ended.stdout) as { message: string }
        expect(message.length).toBeGreaterThan(10)
        expect(ended.stderr).toContain(message)
      }
    }
  })
})
