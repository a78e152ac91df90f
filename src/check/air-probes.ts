import type { RunRecord } from '../campaign/drive/run-record.ts'
import { SHARED_SD } from '../demand/shared-draws.ts'
import type { EnsembleRun } from '../demand/types.ts'
import { UNOBSERVED } from './sensitivity.ts'
import { count, ids, none, ofRuns, type Probe, someOf, verb, worst } from './weakness-probe.ts'

const without = (run: EnsembleRun, air: Partial<EnsembleRun['air']>): EnsembleRun => ({
  ...run,
  air: { ...run.air, ...air },
})

const withoutWindDoubt = (run: EnsembleRun): EnsembleRun =>
  without(run, { undirectedMps: none(run.air.undirectedMps), departureSdMps: none(run.air.departureSdMps) })

const withoutTemperatureDoubt = (run: EnsembleRun): EnsembleRun => {
  const { along } = run.runAir
  const temperatureDepartureSdK = none(along.temperatureDepartureSdK)
  return { ...run, runAir: { ...run.runAir, along: { ...along, temperatureDepartureSdK } } }
}

const withoutAssumed = (run: EnsembleRun, what: Partial<EnsembleRun['runAir']['assumed']>): EnsembleRun => ({
  ...run,
  runAir: { ...run.runAir, assumed: { ...run.runAir.assumed, ...what } },
})

const misses = (record: RunRecord, ...what: ('wind' | 'temperature')[]): boolean =>
  record.runAir.missing.length === what.length && what.every((w) => record.runAir.missing.includes(w))

const daysOf = (records: RunRecord[]): string =>
  someOf([...new Set(records.map((r) => new Date(r.run.summary.startTime * 1000).toISOString().slice(0, 10)))])

const missingWeather = (code: string, what: ('wind' | 'temperature')[], word: string, columns: string): Probe =>
  ofRuns(
    code,
    (record) => misses(record, ...what),
    (some, state) => ({
      message: `${count(some, state)} ${verb(some, state, 'has', 'have')} no ${word} within reach (100 km, 90 minutes), so no answer: ${someOf(ids(some))}`,
      fix: `Add a station’s reports of ${daysOf(some)} from near the road, or write your own note into runs.csv (${columns}).`,
    }),
    (run) => {
      const calmed = what.includes('wind') ? withoutWindDoubt(run) : run
      return what.includes('temperature')
        ? withoutAssumed(withoutTemperatureDoubt(calmed), { pressureSdPa: 0, humiditySd: 0 })
        : calmed
    },
    { rough: true, supplies: true },
  )

const windFromAfar = ofRuns(
  'wind-from-afar',
  (record) => record.runAir.missing.length === 0,
  (some) => {
    const km = worst(some, (r) => [Math.min(...r.runAir.stations.map((s) => s.distanceM / 1000))])
    const minutes = worst(some, (r) => r.runAir.stations.map((s) => s.gapS / 60))
    return {
      message: `The wind on the road is not that at the station (the nearest is up to ${km.toFixed(0)} km away, reports lie up to ${minutes.toFixed(0)} min from the drive)`,
      fix: 'Log the wind beside the road, add nearer stations and reports at shorter intervals, and drive loops: there an error of the wind mostly cancels.',
    }
  },
  (run) => without(run, { departureSdMps: none(run.air.departureSdMps) }),
)

const roadExposure: Probe = {
  code: 'road-exposure',
  rough: false,
  look: (state) => {
    if (!state.records.some((r) => r.runAir.missing.length === 0)) return null
    return {
      message: `How much of the wind at 10 m reaches the vehicle is known to × or ÷ ${Math.exp(SHARED_SD.exposure).toFixed(2)} only`,
      fix: 'Drive when there is little wind, and state the terrain in campaign.yaml if it is not roughly_open.',
      runs: [],
      withoutAnswer: [],
      change: { shared: (shared) => ({ ...shared, exposure: shared.exposure.map(() => shared.bestExposure) }) },
    }
  },
}

const NO_ERRORS = { temperatureK: 0, relativeHumidity: 0, pressurePa: 0, windSpeed: 0, windFromDeg: 0 }

/** What may be weak in the knowledge of the air. */
export const AIR_PROBES: Probe[] = [
  missingWeather(
    'no-weather',
    ['wind', 'temperature'],
    'weather observation',
    'temperature_c, relative_humidity_pct, wind_speed_mps, wind_from_deg',
  ),
  missingWeather('no-wind', ['wind'], 'wind observation', 'wind_speed_mps, wind_from_deg'),
  missingWeather('no-temperature', ['temperature'], 'temperature', 'temperature_c, relative_humidity_pct'),
  windFromAfar,
  ofRuns(
    'wind-direction-unknown',
    ({ runAir }) => !runAir.missing.includes('wind') && runAir.along.undirectedMps.some((w) => w > 1),
    (some, state) => ({
      message: `${count(some, state)} ${verb(some, state, 'has', 'have')} a wind without direction: any is taken as possible: ${someOf(ids(some))}`,
      fix: 'Add the direction (wind_from_deg) to the weather table or to runs.csv.',
    }),
    (run) => without(run, { undirectedMps: none(run.air.undirectedMps) }),
  ),
  ofRuns(
    'pressure-assumed',
    ({ runAir }) => !runAir.missing.includes('temperature') && runAir.assumed.pressureSdPa > 0,
    (some, state) => ({
      message: `${count(some, state)} ${verb(some, state, 'has', 'have')} no air pressure: that of the standard atmosphere is taken, ± ${(some[0].runAir.assumed.pressureSdPa / 100).toFixed(0)} hPa`,
      fix: 'Add a station’s pressure (station_pressure_hpa, altimeter_hpa or sea_level_pressure_hpa); an aerodrome’s report has it.',
    }),
    (run) => withoutAssumed(run, { pressureSdPa: 0 }),
  ),
  ofRuns(
    'humidity-assumed',
    ({ runAir }) => !runAir.missing.includes('temperature') && runAir.assumed.humiditySd > 0,
    (some, state) => ({
      message: `${count(some, state)} ${verb(some, state, 'has', 'have')} no humidity: ${100 * UNOBSERVED.humidity} ± ${(100 * some[0].runAir.assumed.humiditySd).toFixed(0)} % is taken`,
      fix: 'Add relative_humidity_pct or dew_point_c.',
    }),
    (run) => withoutAssumed(run, { humiditySd: 0 }),
  ),
  ofRuns(
    'temperature-from-afar',
    ({ runAir }) => runAir.missing.length === 0,
    (some) => {
      const sd = worst(some, (r) => [Math.max(...r.runAir.along.temperatureDepartureSdK)])
      return {
        message: `The temperature on the road is not that at the station, by ± ${sd.toFixed(1)} °C at most`,
        fix: 'Carry a thermometer in the shade outside the car and log it, or note temperature_c in runs.csv.',
      }
    },
    withoutTemperatureDoubt,
  ),
  ofRuns(
    'weather-noted-only',
    ({ runAir }) => runAir.stations.some((s) => s.quality === 'note'),
    (some, state) => ({
      message: `${count(some, state)} ${verb(some, state, 'rests', 'rest')} on the driver’s own note of the weather, which is given wide doubts`,
      fix: 'Add the reports of a station, or log with instruments.',
    }),
    (run) => ({
      ...run,
      runAir: {
        ...run.runAir,
        stations: run.runAir.stations.map((s) => (s.quality === 'note' ? { ...s, errors: NO_ERRORS } : s)),
      },
    }),
  ),
  roadExposure,
]
