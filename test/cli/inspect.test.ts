import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ceteris, folderWith, STEADY_WEATHER, straightTrack } from './command.ts'

let top = ''
const at = (name: string): string => join(top, name)
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-inspect-'))
  folderWith(top, {
    'monday.gpx': straightTrack('2024-05-03T08:05:00Z'),
    'later.gpx': straightTrack('2024-05-03T08:35:00Z'),
    'planned.gpx': straightTrack('2024-05-03T08:05:00Z').replaceAll(/<time>[^<]*<\/time>/g, ''),
    'weather.csv': STEADY_WEATHER,
  })
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

describe('ceteris inspect', () => {
  it('tells of a drive and the air it met in a few short lines, and writes nothing', () => {
    const before = readdirSync(top)
    const { status, stdout, stderr } = ceteris('inspect', at('monday.gpx'), '--weather', at('weather.csv'))
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
    // 239 steps of 25 m; 25 m/s are 90 km/h. The weather is what the table says.
    expect(stdout).toMatch(/^Drive +6\.0 km in 4 min, 0 stops, 90 km\/h while moving$/m)
    expect(stdout).toContain('2024-05-03 08:05 to 08:08 UTC')
    expect(stdout).toMatch(/^Air +14\.0 °C, 70 % humidity, 1010 hPa/m)
    // From 200° on a course of 0°: from behind, and somewhat from the left.
    expect(stdout).toMatch(/^Wind +4\.0 m\/s from 200°, headwind at the vehicle −/m)
    expect(stdout).toMatch(/^Quality /m)
    const lines = stdout.split('\n').filter((line) => !line.startsWith(top))
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(72)
    expect(lines.length).toBeLessThan(20)
    expect(readdirSync(top)).toEqual(before)
  })

  it('tells the time of the campaign’s zone', () => {
    writeFileSync(at('campaign.yaml'), 'time_zone: America/Chicago\n')
    const { stdout } = ceteris('inspect', at('monday.gpx'), '--campaign', at('campaign.yaml'))
    // Summer time there is five hours behind UTC.
    expect(stdout).toContain('2024-05-03 03:05 to 03:08 America/Chicago')
  })

  it('speaks in the units asked for', () => {
    const { stdout } = ceteris('inspect', at('monday.gpx'), '--weather', at('weather.csv'), '--units', 'us')
    // 5.975 km and 90 km/h over 1.609344; 14 °C; 4 m/s over 0.44704; 1010 hPa over 33.86389 (NIST SP 811).
    expect(stdout).toMatch(/^Drive +3\.7 mi in 4 min, 0 stops, 56 mph while moving/m)
    expect(stdout).toMatch(/^Air +57\.2 °F, 70 % humidity, 29\.8 inHg/m)
    expect(stdout).toMatch(/^Wind +8\.9 mph from 200°/m)
    expect(stdout).not.toMatch(/km|m\/s|°C|hPa/)
  })

  it('names the line of what it could not use, warnings too', () => {
    const table = 'time,lat,lon,temperature_c\nyesterday,47,8,14\n2024-05-03T08:05Z,47,8,mild\n'
    const folder = folderWith(at('faulty'), { 'w.csv': table, 'm.txt': 'METAR XXXX 030820Z 31010KT 12/06 Q1016=\n' })
    const { stderr } = ceteris('inspect', at('monday.gpx'), '--weather', join(folder, 'w.csv'), join(folder, 'm.txt'))
    expect(stderr).toContain('w.csv:2: "yesterday"')
    expect(stderr).toContain('w.csv:3: "mild"')
    expect(stderr).toMatch(/m\.txt: .*XXXX/)
  })

  it('says what it does not know where there is no weather', () => {
    const { status, stdout } = ceteris('inspect', at('monday.gpx'))
    expect(status).toBe(0)
    expect(stdout).toMatch(/^Air +not known/m)
    expect(stdout).toMatch(/^Wind +not known/m)
    expect(stdout).toMatch(/^Quality +to be looked at/m)
  })

  it('gives several drives as data with --json', () => {
    const { status, stdout, stderr } = ceteris('inspect', at('monday.gpx'), at('later.gpx'), '--json')
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
    const content = JSON.parse(stdout) as { schema: string; runs: { track: string; distance_m: number }[] }
    expect(content.schema).toBe('ceteris-inspect/1')
    expect(content.runs.map((run) => run.track)).toEqual([at('monday.gpx'), at('later.gpx')])
    expect(Math.abs(content.runs[0].distance_m - 239 * 25)).toBeLessThan(10)
  })

  it('leaves with 1 where a file is wrong, and with 2 where no track is left', () => {
    const some = ceteris('inspect', at('monday.gpx'), at('nowhere.gpx'))
    expect(some.status).toBe(1)
    expect(some.stderr).toContain('nowhere.gpx: this cannot be read: it does not exist')
    expect(some.stdout).toContain('Drive')
    const none = ceteris('inspect', at('planned.gpx'))
    expect(none).toMatchObject({ status: 2, stdout: '' })
    expect(none.stderr).toContain('None of the 240 points has a time')
    expect(ceteris('inspect')).toMatchObject({ status: 2, stdout: '' })
  })
})
