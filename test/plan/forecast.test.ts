import { describe, expect, it } from 'vitest'
import { workingStateOf } from '../../src/campaign/computed-campaign.ts'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { forecastOf } from '../../src/plan/forecast.ts'
import type { Slot } from '../../src/plan/windows.ts'
import { slotsOf } from '../../src/plan/windows-ahead.ts'
import { inputFile } from '../campaign/folder.ts'
import { STEADY_WEATHER, straightTrack } from '../cli/command.ts'

const HOUR_S = 3600
const MIDNIGHT = Date.parse('2024-05-06T00:00:00Z') / 1000

interface Row {
  hour: number
  rainMm?: number
}

/** Slots every hour of 6 May 2024 for one short drive, from a forecast with the rows named. */
async function slotsFor(rows: Row[], header = HEADER, more = ''): Promise<Slot[]> {
  const files = [inputFile('a.gpx', straightTrack('2024-05-03T08:05:00Z')), inputFile('air.csv', STEADY_WEATHER)]
  const state = await workingStateOf(files.map(mapFile), files, { draws: 200, seed: 1 })
  const [reference] = state.records
  const lines = rows.map(({ hour, rainMm = 0 }) => {
    const time = new Date((MIDNIGHT + hour * HOUR_S) * 1000).toISOString()
    return `M,${time},52.02,5,3,10,14,70,1010,4,200,${rainMm}${more}`
  })
  const table = mapFile(inputFile('forecast.csv', `${header}\n${lines.join('\n')}\n`))
  const { forecast } = await forecastOf([table], state, reference)
  const question = { reference, baseline: [reference], marginPct: 1, from: MIDNIGHT, to: MIDNIGHT + 20 * HOUR_S }
  return slotsOf({ ...question, stepS: HOUR_S }, forecast!, state)
}
const HEADER =
  'station,time,lat,lon,elevation_m,anemometer_height_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg,precipitation_mm'

const every = (stepH: number, to = 24): Row[] => Array.from({ length: to / stepH + 1 }, (_, i) => ({ hour: i * stepH }))
const widthAt = (slots: Slot[], hour: number): number => {
  const { difference } = slots[hour]
  return difference!.high90Pct - difference!.low90Pct
}

describe('the steps of a forecast', () => {
  it('are bridged up to 12 h, with an interval that is wider the farther its times are', async () => {
    const [hourly, six, twelve] = await Promise.all([1, 6, 12].map((stepH) => slotsFor(every(stepH))))
    expect([hourly[6].stepH, six[6].stepH, twelve[6].stepH]).toEqual([1, 6, 12])
    expect(widthAt(six, 9)).toBeGreaterThan(1.05 * widthAt(hourly, 9))
    expect(widthAt(twelve, 6)).toBeGreaterThan(1.05 * widthAt(six, 9))
    // At a time of the forecast itself there is nothing to bridge.
    expect(widthAt(six, 6)).toBeCloseTo(widthAt(hourly, 6), 6)
  })

  it('are not bridged beyond, where only what is told within an hour and a half counts', async () => {
    const slots = await slotsFor(every(24))
    expect(slots[1].difference).not.toBeNull()
    expect(slots[12]).toMatchObject({ difference: null, slotClass: 'unknown', stepH: 24 })
  })

  it('end with the forecast', async () => {
    const slots = await slotsFor(every(6, 12))
    expect(slots.map(({ difference }) => difference !== null).lastIndexOf(true)).toBe(13)
  })
})

describe('rain in a forecast', () => {
  it('of a row has fallen since the row before it', async () => {
    const rows = every(6).map((row) => (row.hour === 12 ? { ...row, rainMm: 3 } : row))
    const slots = await slotsFor(rows)
    const wet = slots.flatMap(({ rain }, hour) => (rain ? [hour] : []))
    // Starts from 6 to 11 o'clock drive in the wet step; the one at noon begins as it ends.
    expect(wet).toEqual([6, 7, 8, 9, 10, 11, 12])
  })
})

describe('a forecast that lacks something', () => {
  it('says what', async () => {
    const slots = await slotsFor(every(3), HEADER.replace('wind_speed_mps', 'sunshine'))
    expect(slots[4]).toMatchObject({ difference: null, missing: ['wind'] })
  })
})
