import { present } from '../base/present.ts'
import { sum } from '../base/statistics.ts'
import { doubtfulSpell } from '../campaign/claims/wet-doubt.ts'
import type { WorkingState } from '../campaign/computed-campaign.ts'
import { usedAmount } from '../campaign/drive/logged-run.ts'
import { type RunRecord, recordingSd } from '../campaign/drive/run-record.ts'
import { READING_SD } from '../claim/evidence/ways.ts'
import { MEASUREMENT_SD } from '../claim/fuel/measure.ts'
import type { WeaknessFacts } from '../report/words/checks/weaknesses.ts'
import { AIR_PROBES } from './air-probes.ts'
import type { Change } from './sensitivity.ts'
import { ids, ofRuns, type Probe, runsWith, worst } from './weakness-probe.ts'

/** A doubt about the vehicle that campaign.yaml leaves to its class. */
function ofVehicle(
  code: 'mass-unstated' | 'drag-area-unstated' | 'rolling-resistance-unstated',
  field: 'massKg' | 'dragAreaM2' | 'rollingResistance',
): Probe {
  return {
    code,
    rough: false,
    look: ({ campaign, shared }) => {
      if (campaign.vehicle[field] !== null || campaign.vehicle.coastDown) return null
      const { value, sd } = shared.vehicle[field]
      return {
        facts: { code, vehicleClass: shared.vehicle.class, value, sd },
        runs: [],
        withoutAnswer: [],
        change: { vehicle: (vehicle) => ({ ...vehicle, [field]: { ...vehicle[field], sd: 0 } }) },
      }
    },
  }
}

/** The recording's doubt beyond that of a good logger. */
const isPoorRecording = (record: RunRecord): boolean => recordingSd(record.drive) > 1.3 * cleanRecordingSd(record)

const cleanRecordingSd = ({ drive }: RunRecord): number => {
  return recordingSd({
    ...drive,
    medianFixIntervalS: 1,
    positionNoiseM: 0,
    gapShare: 0,
    repairs: { ...drive.repairs, spikes: 0 },
  })
}

const fuelTemperature: Probe = {
  code: 'fuel-temperature-unread',
  rough: false,
  ofClaimsOnly: 'can be mended',
  look: (state) => {
    const filled = runsWith(state, ({ run }) => run.row !== null && run.row.fuelLitres > 0)
    const unread = filled.filter(({ run }) => Number.isNaN(present(run.row).fuelTemperatureK))
    if (unread.length === 0) return null
    const known = filled.map(({ run }) => present(run.row).fuelTemperatureK).filter(Number.isFinite)
    const usualK = known.length > 0 ? sum(known) / known.length : FUEL_REFERENCE_K
    return {
      facts: { code: 'fuel-temperature-unread', sdK: MEASUREMENT_SD.fuelTemperatureUnreadK },
      runs: ids(unread),
      withoutAnswer: [],
      change: {
        row: (row) => (Number.isNaN(row.fuelTemperatureK) ? { ...row, fuelTemperatureK: usualK } : row),
      },
    }
  },
}

/** 15 °C: litres read at it stay as they are. */
const FUEL_REFERENCE_K = 288.15

/** Errors of measuring the fuel that the settings of a campaign size. */
function ofFills(
  field: 'fillRepeatabilityLitres' | 'meterTolerancePct',
  without: Change['without'],
  factsOf: (stated: number | null) => WeaknessFacts,
): Probe {
  return {
    code: factsOf(null).code,
    rough: false,
    ofClaimsOnly: 'always there',
    look: (state) => {
      if (!hasFuel(state, 'fuelLitres')) return null
      return {
        facts: factsOf(state.campaign.fuel[field]),
        runs: [],
        withoutAnswer: [],
        change: { without },
      }
    },
  }
}

/** Whether fuel of this kind was measured, for single drives, for several together or by a fuel log. */
function hasFuel(state: WorkingState, field: 'fuelLitres' | 'energyKwh'): boolean {
  if (runsWith(state, ({ run }) => run.row !== null && run.row[field] > 0).length > 0) return true
  if (state.stints.some(({ row }) => row[field] > 0)) return true
  const unit = field === 'fuelLitres' ? 'l' : 'kWh'
  return state.log?.spans.some(({ span }) => span.unit === unit && span.amount > 0) ?? false
}

/** What a charge or a battery's level, as read, may be off by. */
const charges: Probe = {
  code: 'charges',
  rough: false,
  ofClaimsOnly: 'always there',
  look: (state) => {
    if (!hasFuel(state, 'energyKwh') || hasFuel(state, 'fuelLitres')) return null
    return { facts: { code: 'charges' }, runs: [], withoutAnswer: [], change: { without: 'fills' } }
  },
}

const wetUnknown: Probe = {
  code: 'road-wet-unknown',
  rough: false,
  ofClaimsOnly: 'can be mended',
  look: (state) => {
    const some = runsWith(state, (record) => doubtfulSpell(record) !== null)
    if (some.length === 0) return null
    return { facts: { code: 'road-wet-unknown' }, runs: ids(some), withoutAnswer: [], change: { isDry: true } }
  },
}

/** A reading beside the fuel that drives have: without its scatter the fuel and it agree all the better. */
function ofReadings(way: 'trip computer' | 'logged fuel', read: (record: RunRecord) => number | undefined): Probe {
  return {
    code: 'readings',
    rough: false,
    ofClaimsOnly: 'always there',
    look: (state) => {
      const some = runsWith(state, (record) => (read(record) ?? Number.NaN) > 0)
      if (some.length < 2) return null
      return {
        facts: { code: 'readings', way, sd: READING_SD[way] },
        runs: [],
        withoutAnswer: [],
        change: { readingFactor: EXACT },
      }
    },
  }
}

/** As good as none: two readings of one drive without any scatter would say the same. */
const EXACT = 0.02

/** In no order: what each costs is what sorts them. */
export const PROBES: Probe[] = [
  ...AIR_PROBES,
  ofRuns(
    'poor-recording',
    isPoorRecording,
    (some) => ({ code: 'poor-recording', sd: worst(some, (r) => [r.ensembleRun.recordingSd]) }),
    (run, record) => ({ ...run, recordingSd: cleanRecordingSd(record) }),
  ),
  ofVehicle('mass-unstated', 'massKg'),
  ofVehicle('drag-area-unstated', 'dragAreaM2'),
  ofVehicle('rolling-resistance-unstated', 'rollingResistance'),
  fuelTemperature,
  wetUnknown,
  ofFills('fillRepeatabilityLitres', 'fills', (stated) => ({
    code: 'fills',
    litres: stated ?? MEASUREMENT_SD.fillLitres,
    isStated: stated !== null,
  })),
  ofFills('meterTolerancePct', 'pump_meter', () => ({ code: 'pump-meter' })),
  charges,
  ofReadings('trip computer', ({ run }) => run.row?.tripComputerLitresPer100Km),
  ofReadings('logged fuel', ({ run, logged }) => run.row?.obdFuelLitres || usedAmount(logged?.fuel)),
]
