import { simulateRoad, simulateRun, simulateWeather, smallCar, stationReports } from '../test/simulator/index.ts'

/** The invented folder `ladder-van-rough`: one good short run among files that a hurried person leaves behind. */
const FOLDER = 'ladder-van-rough'
const PLACE = { latitudeDeg: 41.8812, longitudeDeg: -5.0431 }
const START_S = Date.UTC(2026, 3, 28, 8) / 1000

export function roughFiles(): [string, string][] {
  const road = simulateRoad({ seed: FOLDER, shape: 'there-and-back', lengthM: 9e3, ...PLACE, elevationM: 748 })
  const knots = [
    {
      timeS: START_S,
      windSpeedMps: 2,
      windFromDeg: 60,
      temperatureC: 12,
      dewPointC: 5,
      seaLevelPressureHpa: 1019,
      rainMmPerHour: 0,
    },
  ]
  const weather = simulateWeather({ seed: FOLDER, ...PLACE, referenceElevationM: 748, knots })
  const gpx = (seed: string, startS: number) =>
    simulateRun({ road, weather, vehicle: smallCar, startS, seed, sampleS: 2, name: seed }).gpx
  const table = (id: string, latitudeDeg: number, longitudeDeg: number) =>
    stationReports(
      weather,
      { id, latitudeDeg, longitudeDeg, elevationM: 740, intervalMin: 30 },
      START_S - 3600,
      START_S + 7200,
    ).csv()
  const good = gpx('good', START_S)
  return [
    [`${FOLDER}/good.gpx`, good],
    [`${FOLDER}/no-times.gpx`, good.replace(/<time>[^<]*<\/time>/g, '').replace('good', 'no-times')],
    [`${FOLDER}/one-nan.gpx`, nanAt(gpx('one-nan', START_S + 2400), 100)],
    [`${FOLDER}/cut-off.gpx`, gpx('cut-off', START_S + 4800).slice(0, 9000)],
    [
      `${FOLDER}/login-page.gpx`,
      '<!DOCTYPE html>\n<html><head><title>Please sign in</title></head><body><p>Your session has ended.</p></body></html>\n',
    ],
    [`${FOLDER}/empty.gpx`, ''],
    [`${FOLDER}/weather-here.csv`, table('field', 41.9, -5.1)],
    [`${FOLDER}/weather-another-continent.csv`, table('overseas', -33.4, 149.1)],
    [
      `${FOLDER}/runs.csv`,
      'track,setup,fuel_l,note\ngood.gpx,bare,0.62,\nlost.gpx,bare,0.66,no such file\none-nan.gpx,bare,"a lot",not a number\n',
    ],
    [
      `${FOLDER}/campaign.yaml`,
      'title: What a hurried person leaves behind (invented)\nmargin_pct: 1\nvehicle:\n  class: van\n  masss_kg: 2300   # misspelt on purpose\n',
    ],
  ]
}

/** The latitude of one point becomes "NaN". */
function nanAt(gpx: string, point: number): string {
  let seen = 0
  return gpx.replace(/lat="[^"]*"/g, (found) => (seen++ === point ? 'lat="NaN"' : found))
}
