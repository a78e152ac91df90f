import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { kindOf } from '../../../src/read/kind.ts'
import { readObservationTable } from '../../../src/read/weather/csv.ts'
import { inputFile, reportOf } from '../../campaign/folder.ts'
import { straightTrack } from '../../cli/command.ts'

const WIND = readFileSync(join(import.meta.dirname, '../../data/weather/dwd-hourly/wind-cologne-excerpt.txt'), 'utf8')
const read = (text: string) => readObservationTable(text, { timeZone: null, fileName: 'x.txt' })
const iso = (seconds: number): string => new Date(seconds * 1000).toISOString()

describe('tables of the German weather service', () => {
  it('real hourly wind: the first rows as they stand in the file, missing speeds not known', () => {
    expect(kindOf(WIND)).toBe('observation-table')
    const { value, problems } = read(WIND)
    expect(problems.filter(({ severity }) => severity !== 'note')).toEqual([])
    expect(value!.time).toHaveLength(51)
    expect(value!.stations.map(({ id }) => id)).toEqual(['2667'])
    // "2667;2019112700;   10;   4.2; 150;eor" and the row after it
    expect(iso(value!.time[0])).toBe('2019-11-27T00:00:00.000Z')
    expect([...value!.windSpeedMps.slice(0, 2)]).toEqual([4.2, 4.7])
    expect([...value!.windFromDeg.slice(0, 2)]).toEqual([150, 130])
    // "2667;2021032417;    1;  -999; 320;eor"
    expect(iso(value!.time[48])).toBe('2021-03-24T17:00:00.000Z')
    expect(value!.windSpeedMps[48]).toBeNaN()
  })

  // The header lines are those of the service's products (from memory); the rows are invented.
  it.each([
    [
      'hourly temperature',
      'STATIONS_ID;MESS_DATUM;QN_9;TT_TU;RF_TU;eor\n1;2024050308;3;14.5;71;eor',
      { temperatureK: 287.65, relativeHumidity: 0.71 },
    ],
    [
      'hourly pressure',
      'STATIONS_ID;MESS_DATUM;QN_8;   P;  P0;eor\n1;2024050308;3;1012.3;1001.1;eor',
      { seaLevelPressurePa: 101230, stationPressurePa: 100110 },
    ],
    [
      'hourly rain',
      'STATIONS_ID;MESS_DATUM;QN_8;  R1;RS_IND;WRTR;eor\n1;2024050308;3;0.4;1;-999;eor',
      { precipitationMm: 0.4 },
    ],
    [
      'ten minutes',
      'STATIONS_ID;MESS_DATUM;  QN;PP_10;TT_10;TM5_10;RF_10;TD_10;eor\n1;202405030850;3;-999;14.5;13;71;9.4;eor',
      { temperatureK: 287.65, dewPointK: 282.55, stationPressurePa: Number.NaN },
    ],
    [
      'changing wind',
      'STATIONS_ID;MESS_DATUM;QN_3;F;D;eor\n1;2024050308;3;0.8;990;eor',
      { windSpeedMps: 0.8, windFromDeg: Number.NaN },
    ],
  ])('%s', (_, text, expected) => {
    const { value, problems } = read(text)
    expect(problems.filter(({ severity }) => severity !== 'note')).toEqual([])
    for (const [field, number] of Object.entries(expected)) {
      const [first] = value![field as 'temperatureK']
      if (Number.isNaN(number)) expect(first).toBeNaN()
      else expect(first).toBeCloseTo(number, 6)
    }
  })

  it('several tables of one station speak together, where campaign.yaml says where it is', async () => {
    const table = (columns: string, rows: string[]) =>
      `STATIONS_ID;MESS_DATUM;QN;${columns};eor\n${rows.map((row) => `77;${row};eor`).join('\n')}\n`
    const report = await reportOf(
      [
        inputFile('a.gpx', straightTrack('2024-05-03T08:10:00Z')),
        inputFile('wind.txt', table('F;D', ['2024050308;3;4.0;200', '2024050309;3;4.0;200'])),
        inputFile('air.txt', table('TT_TU;RF_TU', ['2024050308;3;14;70', '2024050309;3;14;70'])),
        inputFile('campaign.yaml', 'stations:\n  "77": {lat: 52.0, lon: 5.0, elevation_m: 3}\n'),
      ],
      { draws: 50 },
    )
    expect(report.problems.filter(({ severity }) => severity !== 'note')).toEqual([])
    expect(report.runs[0].air.temperature_c).toBeCloseTo(14, 3)
    expect(report.runs[0].wind.speed_mps).toBeCloseTo(4, 3)
  })
})
