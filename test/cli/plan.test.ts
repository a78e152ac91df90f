import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ceteris, folderWith, STEADY_WEATHER, shortCampaign, smallCampaign, straightTrack } from './command.ts'

let top = ''
const path = (name: string): string => join(top, name)
const FROM = ['--from', '2026-04-24T04:00Z', '--days', '1', '--step', '180', '--draws', '60']

/** Hourly, for 26 h from midnight, dry but for the hours from noon. */
function forecast(): string {
  const rows = Array.from({ length: 27 }, (_, h) => {
    const time = new Date(Date.parse('2026-04-24T00:00Z') + h * 3_600_000).toISOString()
    return `${time},model,41.9,-4.85,740,10,${11 - Math.abs(14 - h) / 3},60,936,${2 + h / 8},${200 + h},${h > 12 && h < 16 ? 0.5 : 0}`
  })
  return `time,station,lat,lon,elevation_m,anemometer_height_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg,precipitation_mm\n${rows.join('\n')}\n`
}

beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-plan-'))
  smallCampaign(path('van'))
  writeFileSync(path('forecast.csv'), forecast())
  folderWith(path('straight'), { 'a.gpx': straightTrack('2024-05-03T08:05:00Z'), 'weather.csv': STEADY_WEATHER })
  writeFileSync(path('track.gpx'), straightTrack('2024-05-03T08:05:00Z', 240))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

describe('plan repeats', () => {
  it('prints the table, the cheapest way, the budget and the order', () => {
    const { status, stdout, stderr } = ceteris(
      'plan',
      'repeats',
      '--effect',
      '3',
      '--road-km',
      '100',
      '--fuel',
      'scale',
    )
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
    expect(stdout).toContain('Least driving for 80 %')
    expect(stdout).toContain('Order (A without, B with the change)')
    expect(stdout).not.toMatch(/NaN|undefined|Infinity/)
  })

  it('prints JSON', () => {
    const { status, stdout } = ceteris(
      'plan',
      'repeats',
      '--effect',
      '-3',
      '--lengths',
      '80,40',
      '--road-km',
      '40',
      '--json',
    )
    const plan = JSON.parse(stdout)
    expect(status).toBe(0)
    expect(plan.schema).toBe('ceteris-plan-repeats/1')
    expect(plan.designs.length).toBe(24)
    expect(plan.designs[0].route_m).toBe(40_000)
  })

  it('learns from a folder', () => {
    const { status, stdout } = ceteris('plan', 'repeats', '--effect', '3', '--folder', path('van'))
    expect(status).toBe(0)
    expect(stdout).toContain('From the folder: 4 drives on route-1')
    expect(stdout).toMatch(/degrees\s+of\s+freedom\s+from\s+repeats/)
  })

  it('tells weighed fuel in litres of its kind, and says what so few repeats are worth', () => {
    const folder = shortCampaign(path('weighed'))
    const table = 'track,setup,fuel_kg\nmonday.gpx,bare,0.40\ntuesday.gpx,bare,0.38\n'
    writeFileSync(join(folder, 'runs.csv'), table)
    const plan = (...kind: string[]): { question: { consumption_per_100_km: number }; learnt: string[] } =>
      JSON.parse(ceteris('plan', 'repeats', '--effect', '3', '--folder', folder, '--json', ...kind).stdout)
    const [diesel, petrol] = [plan('--fuel-kind', 'diesel'), plan()]
    // Middles of EN 590 (820 to 845 kg/m³) and EN 228 (720 to 775 kg/m³), from memory; 0.39 kg on 239 steps of 25 m.
    expect(petrol.question.consumption_per_100_km).toBeCloseTo(((0.39 / 5.975) * 100) / 0.7475, 1)
    expect(diesel.question.consumption_per_100_km).toBeCloseTo(((0.39 / 5.975) * 100) / 0.8325, 1)
    expect(petrol.learnt.join('\n')).toContain('litres of petrol (assumed) at 0.7475 kg/l')
    expect(diesel.learnt.join('\n')).toContain('litres of diesel (stated)')
    expect(petrol.learnt.join('\n')).toContain('with 1 degree of freedom from repeats')
    expect(petrol.learnt.join('\n')).toContain('so few repeats say little')
  })

  it('names among the lessons what every drive has beside its fuel, and leaves it out where that is asked', () => {
    const folder = shortCampaign(path('read-twice'))
    const rows = 'monday.gpx,bare,0.40,8.1\ntuesday.gpx,bare,0.38,8.0\n'
    writeFileSync(join(folder, 'runs.csv'), `track,setup,fuel_kg,trip_computer_l_per_100km\n${rows}`)
    const plan = (...also: string[]): { question: { read_as_well: string | null }; learnt: string[] } =>
      JSON.parse(ceteris('plan', 'repeats', '--effect', '3', '--folder', folder, '--json', ...also).stdout)
    expect(plan().question.read_as_well).toBe('trip-computer')
    expect(plan().learnt.join('\n')).toContain('was read from the trip computer as well; --also none plans without')
    expect(plan('--also', 'none').question.read_as_well).toBeNull()
    expect(plan('--fuel', 'battery').question.read_as_well).toBeNull()
  })

  it('takes length and shape from a track', () => {
    const { status, stdout } = ceteris('plan', 'repeats', '--effect', '3', '--track', path('track.gpx'), '--json')
    expect(status).toBe(0)
    // 239 steps of 25 m.
    expect(JSON.parse(stdout).designs[12].route_m).toBeCloseTo(239 * 25, -2)
    expect(JSON.parse(stdout).question.shape).toBe('one-way')
  })

  it.each([
    { what: 'no effect', args: ['--effect', '0', '--road-km', '9'], says: 'an effect of 0 % cannot be found' },
    { what: 'no length', args: ['--effect', '2'], says: 'give --road-km, --track or --folder' },
    { what: 'lengths', args: ['--effect', '2', '--road-km', '9', '--lengths', '5,,x'], says: 'found "5,,x"' },
    { what: 'no track', args: ['--effect', '2', '--track', 'nowhere.gpx'], says: '--track nowhere.gpx cannot be read' },
    {
      what: 'one reading twice',
      args: ['--effect', '2', '--road-km', '9', '--fuel', 'logged', '--also', 'logged'],
      says: 'one reading counts once',
    },
    {
      what: 'fuel beside a charge meter',
      args: ['--effect', '2', '--road-km', '9', '--fuel', 'battery', '--also', 'trip-computer'],
      says: 'measures no fuel that could be read as well',
    },
    { what: 'way', args: ['--effect', '2', '--road-km', '9', '--fuel', 'guess'], says: 'pump' },
    { what: 'effect', args: ['--effect', 'two', '--road-km', '9'], says: 'Expected a number' },
    { what: 'folder', args: ['--effect', '2', '--folder', 'nowhere'], says: 'the folder nowhere cannot be read' },
  ])('refuses $what', ({ args, says }) => {
    const { status, stdout, stderr } = ceteris('plan', 'repeats', ...args)
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' })
    expect(stderr).toContain(says)
  })
})

describe('plan windows', () => {
  it('ranks the starts in the campaign’s own time and writes the picture', () => {
    const args = ['plan', 'windows', path('van'), '--forecast', path('forecast.csv'), ...FROM]
    const { status, stdout, stderr } = ceteris(...args, '--svg', path('windows.svg'))
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
    expect(stdout).toContain('Times are Europe/Madrid')
    expect(stdout).toMatch(/^1\. Fri 24 Apr, start /m)
    expect(stdout).toMatch(/ rain$/m)
    expect(stdout).not.toMatch(/NaN|undefined|Infinity/)
    expect(readFileSync(path('windows.svg'), 'utf8')).toMatch(/^<svg /)
  })

  it('prints JSON, the best first', () => {
    const { status, stdout } = ceteris(
      'plan',
      'windows',
      path('van'),
      '--forecast',
      path('forecast.csv'),
      ...FROM,
      '--json',
    )
    const plan = JSON.parse(stdout)
    expect(status).toBe(0)
    expect(plan.schema).toBe('ceteris-plan-windows/1')
    expect(plan.slots[0].rank).toBe(1)
    expect(plan.slots.at(-1).class).not.toBe('like')
    expect(plan.baseline.length).toBe(2)
  })

  it.each([
    {
      what: 'a forecast that has ended',
      args: ['--forecast', 'F', '--from', '2026-05-24T04:00Z'],
      says: 'the forecast ends at 2026-04-25T02:00Z',
    },
    {
      what: 'a forecast too far ahead',
      args: ['--forecast', 'F', '--from', '2026-04-02T04:00Z'],
      says: 'the forecast begins at',
    },
    {
      what: 'a time without an offset',
      args: ['--forecast', 'F', '--from', '2026-04-24'],
      says: 'expected a time with its offset',
    },
    {
      what: 'an unknown run',
      args: ['--forecast', 'F', '--drive', 'sunday'],
      says: 'no drive is called "sunday"; there are',
    },
    { what: 'an unknown road', args: ['--forecast', 'F', '--road', 'route-9'], says: 'no road is called "route-9"' },
    { what: 'a track for a forecast', args: ['--forecast', 'T'], says: 'this is no table of weather' },
    { what: 'a missing forecast', args: ['--forecast', 'nowhere.csv'], says: 'no forecast could be used' },
    { what: 'no forecast', args: [], says: '--forecast' },
  ])('refuses $what', ({ args, says }) => {
    const named = args.map((a) => (a === 'F' ? path('forecast.csv') : a === 'T' ? path('track.gpx') : a))
    const { status, stdout, stderr } = ceteris('plan', 'windows', path('straight'), ...named)
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' })
    expect(stderr).toContain(says)
  })
})
