import { DAY_START, exampleDay, LAPS } from '../simulator/example-days.ts'
import { inputFile } from './folder.ts'

/**
 * Three stints of three laps with one amount for each, as a logger that ran on and a pump give them.
 * @param rows runs.csv
 */
export const stints = (rows: string) => [
  ...['a', 'b', 'c'].map((name, i) =>
    inputFile(`${name}.gpx`, exampleDay(LAPS(3), { seed: name, startS: DAY_START + 7200 * i }).gpx),
  ),
  inputFile(
    'weather.csv',
    `time,station,lat,lon,elevation_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg,road_wet\n${Array.from(
      { length: 12 },
      (_, i) => `${new Date((DAY_START + 3600 * (i - 2)) * 1000).toISOString()},S,47.3,8.1,400,15,60,960,2,270,no`,
    ).join('\n')}\n`,
  ),
  inputFile('runs.csv', rows),
]
