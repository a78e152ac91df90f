import { beforeAll, describe, expect, it } from 'vitest'
import { onCampaignClock } from '../../src/campaign/load/log-clock.ts'
import { mapParts } from '../../src/campaign/load/map-parts.ts'
import type { Report } from '../../src/report/contract.ts'
import { DAY_START, exampleDay, ONE_DRIVE } from '../simulator/example-days.ts'
import { inputFile, reportOf } from './folder.ts'

/** A CSV log of a simulated drive in times of New York, four hours behind UTC in May (IANA time zone database). */
const fixes = [...exampleDay(ONE_DRIVE).gpx.matchAll(/lat="([^"]+)" lon="([^"]+)".*?<time>([^<]+)</gs)]
const logOf = (heading: string, behindS: number, zone: string): string => {
  const rows = fixes.map(([, lat, lon, time]) => {
    const shown = new Date(Date.parse(time) - 1000 * behindS).toISOString().slice(0, 19)
    return `${shown.replace('T', ' ')}${zone},${lat},${lon}`
  })
  return `${heading},latitude,longitude\n${rows.join('\n')}\n`
}
const HOUR_S = 3600
const utc = logOf('time', 0, 'Z')
const local = logOf('time', 4 * HOUR_S, '')
/** Another temperature in each hour: a wrong clock shows in the air. */
const weather = `time,lat,lon,elevation_m,temperature_c,wind_speed_mps,wind_from_deg\n${[-6, -4, -2, 0, 1, 2, 4]
  .map((hour) => `${new Date(1000 * (DAY_START + hour * HOUR_S)).toISOString()},47.3,8.1,400,${12 + hour},2,90`)
  .join('\n')}\n`
const settings = 'title: x\ntime_zone: America/New_York\n'

const report = (log: string, yaml: string): Promise<Report> =>
  reportOf([inputFile('log.csv', log), inputFile('weather.csv', weather), inputFile('campaign.yaml', yaml)], {
    draws: 50,
  })

describe('a log whose times name no zone', () => {
  let [asUtc, asLocal]: Report[] = []
  beforeAll(async () => {
    ;[asUtc, asLocal] = [await report(utc, settings), await report(local, settings)]
  })

  it('is on the clock of time_zone, and so is its air', () => {
    const told = ({ runs }: Report) => runs.map((run) => [run.start_time, run.end_time, run.air, run.distance_m])
    expect(asLocal.runs).toHaveLength(1)
    expect(told(asLocal)).toEqual(told(asUtc))
  })

  it('says by what, and no longer that it was read as UTC', () => {
    const said = asLocal.problems.filter(({ path }) => path === 'log.csv').map(({ code, severity }) => [severity, code])
    expect(said).toContainEqual(['note', 'time-zone-assumed'])
    expect(said.map(([, code]) => code)).not.toContain('time-without-zone')
    expect(asLocal.inputs.find(({ path }) => path === 'log.csv')?.notes).toEqual([])
  })

  it('without a time_zone is read as UTC, with a warning that says what is missing', async () => {
    const alone = await report(local, 'title: x\n')
    const hoursOff = (Date.parse(alone.runs[0].start_time) - Date.parse(asUtc.runs[0].start_time)) / (1000 * HOUR_S)
    expect(hoursOff).toBe(-4)
    const told = alone.problems.find(({ code }) => code === 'time-without-zone')
    expect(told?.severity).toBe('warning')
    expect(told?.hint).toContain('time_zone')
  })

  it('keeps the zone that its own heading names', async () => {
    const own = await report(logOf('time (EST)', 5 * HOUR_S, ''), settings)
    expect(own.runs[0].start_time).toBe(asUtc.runs[0].start_time)
  })
})

it('clocks are moved once, however often they are asked for', async () => {
  const files = [inputFile('log.csv', local), inputFile('campaign.yaml', settings)]
  const mapped = (await Promise.all(files.map(mapParts))).flat()
  const once = onCampaignClock(mapped)
  expect(onCampaignClock(once)).toEqual(once)
  expect(once[0].tracks[0].clockShiftS).toBe(4 * HOUR_S)
})
