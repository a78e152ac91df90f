import { describe, expect, it } from 'vitest'
import { motionsIn } from '../../../src/campaign/load/drive-source.ts'
import { mapFile } from '../../../src/campaign/load/map-file.ts'
import { type CampaignRuns, NOTHING_SAID, runsOf } from '../../../src/campaign/load/runs.ts'
import { readCampaign } from '../../../src/read/campaign/campaign.ts'
import { readRunsTable } from '../../../src/read/runs/runs-table.ts'
import { DAY_START, exampleDay, FAR_END, GATE, LAPS, ONE_DRIVE, WHOLE_DAY } from '../../simulator/example-days.ts'
import { inputFile } from '../folder.ts'

/** From GPX text, runs.csv and campaign.yaml to drives with rows. The truth is the simulator's. */
const day = exampleDay(WHOLE_DAY)
const night = exampleDay(WHOLE_DAY, { startS: DAY_START + 16.5 * 3600, seed: 'night' })
const laps = exampleDay(LAPS(4), { startS: DAY_START + 2 * 86_400 })
const single = exampleDay(ONE_DRIVE, { startS: DAY_START + 3 * 86_400 })
const FILES = {
  'day.gpx': mapFile(inputFile('day.gpx', day.gpx)),
  'night.gpx': mapFile(inputFile('night.gpx', night.gpx)),
  'laps.gpx': mapFile(inputFile('laps.gpx', laps.gpx)),
  'single.gpx': mapFile(inputFile('single.gpx', single.gpx)),
}

function loaded(names: (keyof typeof FILES)[], rows: string, yaml = ''): CampaignRuns {
  const files = names.map((name) => FILES[name])
  const campaign = readCampaign(yaml || 'title: x\n').value!
  const table = readRunsTable(`${rows}\n`)
  expect(table.problems.filter(({ severity, code }) => severity !== 'note' && code !== 'table-no-rows')).toEqual([])
  const said = { ...NOTHING_SAID, rows: table.value?.rows ?? [], runsFile: 'runs.csv', campaignFile: 'campaign.yaml' }
  return runsOf(files, { ...said, gates: campaign.gates, timeZone: campaign.timeZone }, motionsIn(files))
}

const namesOf = ({ runs }: CampaignRuns): string[] => runs.map(({ track }) => track)
const said = ({ problems }: CampaignRuns): string[] =>
  problems.filter(({ severity }) => severity !== 'note').map(({ file, line, code }) => `${file}:${line} ${code}`)
const messages = ({ problems }: CampaignRuns): string =>
  problems.map(({ message, hint }) => `${message} ${hint ?? ''}`).join('\n')
/** HHMM in UTC. */
const clock = (seconds: number): string => new Date(1000 * seconds).toISOString().slice(11, 16).replace(':', '')

describe('a day in one file', () => {
  const nothing = loaded(['day.gpx'], 'track')

  it('gives its drives and laps, named by when they begin', () => {
    expect(namesOf(nothing)).toHaveLength(day.drives.length)
    for (const [i, { name, fromTime, toTime, distanceM }] of day.drives.entries()) {
      const { track, summary } = nothing.runs[i]
      const [, at, lap] = /^day\.gpx@(\d{4})(?:\.(\d))?$/.exec(track) ?? []
      expect(lap ?? '').toBe(/^lap(\d)$/.exec(name)?.[1] ?? '')
      if (lap === undefined || lap === '1') expect(at).toBe(clock(summary.startTime))
      // Where a drive begins is held to 50 m in test/road/division; standing before it takes no distance.
      expect(Math.abs(summary.startTime - fromTime)).toBeLessThan(60)
      expect(Math.abs(summary.endTime - toTime)).toBeLessThan(60)
      // Both ends within 50 m, as asked of the division.
      expect(Math.abs(summary.distanceM - distanceM)).toBeLessThan(2 * 50)
    }
  })

  it('names drives in local time where the campaign has a zone, and with the date over midnight', () => {
    // Vienna is two hours ahead of UTC in May.
    const [first] = namesOf(loaded(['day.gpx'], 'track', 'time_zone: Europe/Vienna'))
    expect(first).toMatch(/^day\.gpx@09/)
    expect(namesOf(loaded(['night.gpx'], 'track')).every((name) => /@2026051[23]T\d{4}/.test(name))).toBe(true)
    const row = namesOf(loaded(['night.gpx'], 'track'))[0].slice('night.gpx@20260512T'.length)
    expect(said(loaded(['night.gpx'], `track,setup\nnight.gpx@${row},a`))).toEqual([])
  })

  it('finds the drives that rows named before the campaign had a zone', () => {
    const rows = ['track,setup', ...namesOf(nothing).map((name, i) => `${name},s${i}`)].join('\n')
    const zoned = loaded(['day.gpx'], rows, 'time_zone: Europe/Vienna')
    expect(said(zoned)).toEqual([])
    expect(zoned.runs.map(({ row }) => row?.setup)).toEqual(nothing.runs.map((_, i) => `s${i}`))
    expect(messages(zoned)).toContain('call drives by UTC, as before time_zone was set')
    const local = ['track,setup', ...namesOf(zoned).map((name, i) => `${name},s${i}`)].join('\n')
    const renamed = loaded(['day.gpx'], local, 'time_zone: Europe/Vienna')
    expect(renamed.runs.map(({ row }) => row?.setup)).toEqual(nothing.runs.map((_, i) => `s${i}`))
    expect(messages(renamed)).not.toContain('by UTC')
  })

  it('keeps a recording whole where a row says so', () => {
    const whole = loaded(['day.gpx'], 'track,split,setup,fuel_l\nday.gpx,no,a,4')
    expect(namesOf(whole)).toEqual(['day.gpx'])
    expect(said(whole)).toEqual([])
    expect(whole.runs[0].row?.fuelLitres).toBe(4)
  })

  it('takes stated stretches as drives, in any number of rows', () => {
    const stated = loaded(['day.gpx'], 'track,from,to,setup\nday.gpx,07:05,07:30,a\nday.gpx,07:33,07:41,b')
    expect(said(stated)).toEqual([])
    expect(stated.runs.map(({ row }) => row?.setup ?? null).slice(0, 2)).toEqual(['a', 'b'])
    expect(stated.runs[0].summary.startTime).toBe(Date.UTC(2026, 4, 12, 7, 5) / 1000)
  })

  it('reads a piece’s time with marks as well', () => {
    const [, second] = namesOf(nothing)
    const [hours, minutes] = [second.slice(8, 10), second.slice(10)]
    const marked = loaded(['day.gpx'], `track,setup\nday.gpx@${hours}:${minutes},a\nday.gpx@${Number(hours)}:33,b`)
    expect(said(marked)).toEqual([])
    expect(marked.runs[1].row?.setup).toBe('a')
  })
})

describe('laps', () => {
  it('have one row together, whose fuel is the stint’s', () => {
    const { runs, stints, ...rest } = loaded(['laps.gpx'], 'track,setup,fuel_l\nlaps.gpx@0700.1-4,a,1.2')
    expect(said({ runs, stints, ...rest })).toEqual([])
    expect(stints).toMatchObject([{ runs: runs.map(({ id }) => id), row: { fuelLitres: 1.2 } }])
    expect(runs.map(({ row }) => [row?.setup, row?.fuelLitres])).toEqual(runs.map(() => ['a', Number.NaN]))
  })

  it('may be some of a stint', () => {
    const { stints } = loaded(['laps.gpx'], 'track,setup,fuel_l\nlaps.gpx@0700.2-3,a,0.6')
    expect(stints.map(({ runs }) => runs)).toEqual([['laps-0700-2', 'laps-0700-3']])
  })

  it('are a stint where the row names the file, as nothing but laps is in it', () => {
    const all = loaded(['laps.gpx'], 'track,setup,fuel_l\nlaps.gpx,a,1.2')
    expect(said(all)).toEqual([])
    expect(all.stints).toHaveLength(1)
    expect(all.stints[0].row.fuelLitres).toBe(1.2)
  })

  it('that have two setups are told, and no stint has the fuel of another', () => {
    const rows = 'track,setup,fuel_l\nlaps.gpx@0700.1-2,a,0.6\nlaps.gpx@0700.1-3,b,0.9'
    const two = loaded(['laps.gpx'], rows)
    expect(said(two)).toEqual(['runs.csv:3 row-setups-differ'])
    expect(messages(two)).toContain('has the setup "b" here, and some of its drives have "a" by line 2')
    expect(two.stints.map(({ row }) => [row.setup, row.fuelLitres])).toEqual([['a', 0.6]])
    expect(two.runs.map(({ row }) => row?.setup)).toEqual(['a', 'a', 'b', undefined])
  })

  it('have one row: a second one of the same laps is told', () => {
    const twice = loaded(['laps.gpx'], 'track,setup,fuel_l\nlaps.gpx@0700,a,1.2\nlaps.gpx@0700.1-4,b,1.2')
    expect(said(twice)).toEqual(['runs.csv:3 row-repeated'])
    expect(twice.stints).toHaveLength(1)
  })
})

describe('what cannot be', () => {
  it.each([
    ['stretches that overlap', 'track,from,to\nday.gpx,07:05,07:30\nday.gpx,07:20,07:50', 'stated-drives-overlap', 3],
    ['a stretch outside', 'track,from,to\nday.gpx,12:05,', 'stated-time-outside', 2],
    ['a distance outside', 'track,from,to\nday.gpx,8 km,80 km', 'stated-time-outside', 2],
    ['reversed times', 'track,from,to\nday.gpx,07:30,07:20', 'stated-times-reversed', 2],
    ['no time', 'track,from,to\nday.gpx,at nine,07:20', 'stated-time-unreadable', 2],
    ['neither yes nor no', 'track,split\nday.gpx,maybe', 'split-not-yes-or-no', 2],
    ['a drive that was not found', 'track\nday.gpx@0915', 'row-without-drive', 2],
    ['a lap that was not found', 'track\nlaps.gpx@0700.5', 'row-without-drive', 2],
    ['more laps than there are', 'track,fuel_l\nlaps.gpx@0700.3-6,1', 'row-without-drive', 2],
    ['no time behind the @', 'track\nday.gpx@morning', 'row-without-track', 2],
    ['fuel of a day with other driving', 'track,setup,fuel_l\nday.gpx,a,3', 'fuel-of-other-driving', 2],
    ['a lap and its stint', 'track,fuel_l\nlaps.gpx@0700.2,0.3\nlaps.gpx@0700.1-4,1.2', 'fuel-given-twice', 3],
    ['ranges that overlap', 'track,fuel_l\nlaps.gpx@0700.1-3,1\nlaps.gpx@0700.2-4,1', 'fuel-given-twice', 3],
    ['litres and energy', 'track,fuel_l,energy_kwh\nlaps.gpx@0700.2,,3\nlaps.gpx@0700.1-4,1.2,', 'fuel-given-twice', 3],
  ])('%s: a message with its line, and no drive is lost', (_, rows, code, line) => {
    const result = loaded(['day.gpx', 'laps.gpx'], rows)
    expect(said(result)).toEqual([`runs.csv:${line} ${code}`])
    const others = rows.startsWith('track,from,to\nday.gpx,07:05') ? 10 : 11
    expect(result.runs).toHaveLength(others)
  })

  it('uses no fuel that it refuses', () => {
    const { stints, runs } = loaded(['day.gpx'], 'track,setup,fuel_l\nday.gpx,a,3')
    expect(stints.map(({ row }) => row.fuelLitres)).toEqual([Number.NaN])
    expect(runs.map(({ row }) => row?.setup)).toEqual(runs.map(() => 'a'))
  })

  it('says what was found and what fits', () => {
    expect(messages(loaded(['day.gpx'], 'track\nday.gpx@0915'))).toContain(namesOf(loaded(['day.gpx'], 'track'))[0])
    expect(messages(loaded(['laps.gpx'], 'track\nlaps.gpx@0700.3-6'))).toContain(
      'names laps 3 to 6, found were 4 laps: ',
    )
    // Written in the local time of Vienna, two hours ahead.
    const zone = loaded(['day.gpx'], 'track,from,to\nday.gpx,10:20,10:30')
    expect(messages(zone)).toContain('2 h earlier would fit')
    expect(messages(loaded(['day.gpx'], 'track\nday.gpx@morning'))).toContain('such as day.gpx@0914')
  })

  it('says what becomes of a row whose begin cannot be, and what of a stretch is free', () => {
    const result = loaded(['day.gpx'], 'track,from,to,fuel_l\nday.gpx,at nine,07:41,2')
    expect(messages(result)).toContain('such as 12.5 km; this row is not used')
    expect(result.runs.every(({ row }) => row === null)).toBe(true)
    const overlap = messages(loaded(['day.gpx'], 'track,from,to\nday.gpx,07:05,07:30\nday.gpx,07:20,07:50'))
    expect(overlap).toContain('begin it at 2026-05-12 07:30 UTC or later')
  })

  it('over midnight, times are those of the day that the recording has', () => {
    const stated = loaded(['night.gpx'], 'track,from,to\nnight.gpx,23:35,00:10')
    expect(said(stated)).toEqual([])
    const begins = stated.runs.map(({ summary }) => summary.startTime)
    expect(begins).toContain(Date.UTC(2026, 4, 12, 23, 35) / 1000)
  })
})

describe('gates', () => {
  const gate = (name: string, lat: number, lon: number, radius = 50): string =>
    `gates:\n  ${name}: { lat: ${lat}, lon: ${lon}, radius_m: ${radius} }\n`

  it('close laps where they are set', () => {
    const gated = loaded(['laps.gpx'], 'track', gate('line', GATE.lat, GATE.lon))
    expect(said(gated)).toEqual([])
    expect(namesOf(gated)).toHaveLength(4)
  })

  it('begin a drive where the vehicle sets off again, and leave a rest on the way out of a lap', () => {
    // One gate where the test road begins: twice there and back with a rest at its far end, and the laps of the ring.
    const { runs } = loaded(['day.gpx'], 'track', gate('line', GATE.lat, GATE.lon))
    const truth = day.drives.map(({ name, fromTime }) => ({ name, fromTime }))
    const [d1, , d2] = truth
    expect(runs.filter(({ summary }) => summary.distanceM > 15_000)).toHaveLength(2)
    for (const [i, { fromTime }] of [d1, d2].entries()) {
      expect(Math.abs(runs[i].summary.startTime - fromTime)).toBeLessThan(60)
      // At the far end the simulated driver rests for 360 and 300 s.
      const cut = runs[i].part?.without ?? []
      const seconds = cut.reduce((sum, window) => sum + window.toTime - window.fromTime, 0)
      expect(Math.abs(seconds - [360, 300][i])).toBeLessThan(90)
    }
  })

  it.each([60, 300])(
    'at both ends of a road part there from back, each with a name of its own (radius %i m)',
    (radius) => {
      // 300 m: the vehicle comes past the nearest point on the way in and on the way out, and rests elsewhere in the gate.
      const north = (m: number): number => m / 111_195
      const far = `  far: { lat: ${FAR_END.lat + north(radius / 2)}, lon: ${FAR_END.lon}, radius_m: ${radius} }\n`
      const both = gate('line', GATE.lat, GATE.lon) + far
      const gated = loaded(['day.gpx'], 'track', both)
      const truth = day.drives.filter(({ name }) => /^(d1|d2|back)$/.test(name))
      const found = truth.map(({ fromTime, toTime }) =>
        gated.runs.find(
          ({ summary }) => Math.abs(summary.startTime - fromTime) < 60 && Math.abs(summary.endTime - toTime) < 60,
        ),
      )
      expect(found.map((run) => run !== undefined)).toEqual(truth.map(() => true))
      expect(new Set(namesOf(gated)).size).toBe(gated.runs.length)
      const rows = namesOf(gated).map((name, i) => `${name},${i}`)
      const named = loaded(['day.gpx'], `track,note\n${rows.join('\n')}`, both)
      expect(said(named)).toEqual([])
      expect(named.runs.map(({ row }) => row?.note)).toEqual(named.runs.map((_, i) => `${i}`))
    },
  )

  it('that nobody passes are told, and all is as without', () => {
    const gated = loaded(['laps.gpx'], 'track', gate('line', 40, 9))
    expect(said(gated)).toEqual(['campaign.yaml:2 gate-never-passed'])
    // From 47.3° N 8.1° E, where the simulated laps are, to 40° N 9° E: 7.3° of latitude at 111 km are 811 km.
    expect(messages(gated)).toMatch(/the nearest, laps\.gpx, comes to 81\d km/)
    expect(namesOf(gated)).toEqual(namesOf(loaded(['laps.gpx'], 'track')))
  })

  it('whose lat and lon are exchanged are told so', () => {
    expect(messages(loaded(['laps.gpx'], 'track', gate('line', GATE.lon, GATE.lat)))).toContain('are exchanged')
  })

  it('that a recording passes once close nothing, and that is told', () => {
    const gated = loaded(['single.gpx', 'laps.gpx'], 'track', gate('line', GATE.lat, GATE.lon))
    expect(said(gated)).toEqual(['campaign.yaml:2 gate-passed-once'])
    expect(messages(gated)).toContain('single.gpx passes "line" once')
    expect(namesOf(gated)).toContain('single.gpx')
  })
})
