import { isoDay } from '../base/time.ts'
import type { RunRecord } from '../campaign/drive/run-record.ts'
import { exposureSd } from '../demand/exposure.ts'
import type { EnsembleRun } from '../demand/types.ts'
import { UNOBSERVED } from './sensitivity.ts'
import { none, ofRuns, type Probe, worst } from './weakness-probe.ts'

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

/** The days of some drives, UTC. */
const daysOf = (records: RunRecord[]): string[] => [...new Set(records.map((r) => isoDay(r.run.summary.startTime)))]

const missingWeather = (code: 'no-weather' | 'no-wind' | 'no-temperature', what: ('wind' | 'temperature')[]): Probe =>
  ofRuns(
    code,
    (record) => misses(record, ...what),
    (some) => ({ code, days: daysOf(some) }),
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
  (some) => ({
    code: 'wind-from-afar',
    distanceM: worst(some, (r) => [Math.min(...r.runAir.stations.map((s) => s.distanceM))]),
    gapS: worst(some, (r) => r.runAir.stations.map((s) => s.gapS)),
  }),
  (run) => without(run, { departureSdMps: none(run.air.departureSdMps) }),
)

const roadExposure: Probe = {
  code: 'road-exposure',
  rough: false,
  look: (state) => {
    if (!state.records.some((r) => r.runAir.missing.length === 0)) return null
    return {
      facts: {
        code: 'road-exposure',
        factor: Math.exp(exposureSd(state.shared.vehicle.referenceHeightM, state.shared.settings)),
      },
      runs: [],
      withoutAnswer: [],
      change: {
        shared: (shared) => ({
          ...shared,
          exposure: shared.exposure.map(() => shared.bestExposure),
          exposureSectors: shared.exposureSectors.map((draws) => draws.map(() => 0)),
          exposureWaves: shared.exposureWaves.map((draws) => draws.map(() => 0)),
        }),
      },
    }
  },
}

const NO_ERRORS = { temperatureK: 0, relativeHumidity: 0, pressurePa: 0, windSpeed: 0, windFromDeg: 0 }

/** What may be weak in the knowledge of the air. */
export const AIR_PROBES: Probe[] = [
  missingWeather('no-weather', ['wind', 'temperature']),
  missingWeather('no-wind', ['wind']),
  missingWeather('no-temperature', ['temperature']),
  windFromAfar,
  ofRuns(
    'wind-direction-unknown',
    ({ runAir }) => !runAir.missing.includes('wind') && runAir.along.undirectedMps.some((w) => w > 1),
    () => ({ code: 'wind-direction-unknown' }),
    (run) => without(run, { undirectedMps: none(run.air.undirectedMps) }),
  ),
  ofRuns(
    'pressure-assumed',
    ({ runAir }) => !runAir.missing.includes('temperature') && runAir.assumed.pressureSdPa > 0,
    (some) => ({ code: 'pressure-assumed', sdPa: some[0].runAir.assumed.pressureSdPa }),
    (run) => withoutAssumed(run, { pressureSdPa: 0 }),
  ),
  ofRuns(
    'humidity-assumed',
    ({ runAir }) => !runAir.missing.includes('temperature') && runAir.assumed.humiditySd > 0,
    (some) => ({ code: 'humidity-assumed', share: UNOBSERVED.humidity, sd: some[0].runAir.assumed.humiditySd }),
    (run) => withoutAssumed(run, { humiditySd: 0 }),
  ),
  ofRuns(
    'temperature-from-afar',
    ({ runAir }) => runAir.missing.length === 0,
    (some) => ({
      code: 'temperature-from-afar',
      sdK: worst(some, (r) => [Math.max(...r.runAir.along.temperatureDepartureSdK)]),
    }),
    withoutTemperatureDoubt,
  ),
  ofRuns(
    'weather-noted-only',
    ({ runAir }) => runAir.stations.some((s) => s.quality === 'note'),
    () => ({ code: 'weather-noted-only' }),
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
