import { sum } from '../base/statistics.ts'
import type { WorkingState } from '../campaign/computed-campaign.ts'
import { type RunRecord, recordingSd } from '../campaign/drive/run-record.ts'
import { wholeDrive } from '../campaign/load/mapped-drive.ts'
import { MEASUREMENT_SD } from '../claim/measure.ts'
import { AIR_PROBES } from './air-probes.ts'
import { count, ids, ofRuns, type Probe, runsWith, someOf, verb, worst } from './weakness-probe.ts'

/** A doubt about the vehicle that campaign.yaml leaves to its class. */
function ofVehicle(
  code: string,
  what: string,
  key: string,
  isStated: (state: WorkingState) => boolean,
  field: 'massKg' | 'dragAreaM2' | 'rollingResistance',
  digits: number,
): Probe {
  return {
    code,
    rough: false,
    look: (state) => {
      if (isStated(state) || state.campaign.vehicle.coastDown) return null
      const { value, sd } = state.shared.vehicle[field]
      return {
        message: `The vehicle’s ${what} is not stated: that of the class ${state.campaign.vehicle.class} is taken, ${value.toFixed(digits)} ± ${sd.toFixed(digits)}`,
        fix: `Write vehicle: ${key} into campaign.yaml, and ${key}_uncertainty beside it.`,
        runs: [],
        withoutAnswer: [],
        change: { vehicle: (vehicle) => ({ ...vehicle, [field]: { ...vehicle[field], sd: 0 } }) },
      }
    },
  }
}

/** The recording's doubt beyond that of a good logger. */
const isPoorRecording = (record: RunRecord): boolean =>
  recordingSd(wholeDrive(record.run.drive)) > 1.3 * cleanRecordingSd(record)

const cleanRecordingSd = ({ run }: RunRecord): number => {
  const drive = wholeDrive(run.drive)
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
    const unread = filled.filter(({ run }) => Number.isNaN(run.row!.fuelTemperatureK))
    if (unread.length === 0) return null
    const known = filled.map(({ run }) => run.row!.fuelTemperatureK).filter(Number.isFinite)
    const usualK = known.length > 0 ? sum(known) / known.length : FUEL_REFERENCE_K
    return {
      message: `${count(unread, state)} with litres ${verb(unread, state, 'has', 'have')} no fuel temperature: ± ${MEASUREMENT_SD.fuelTemperatureUnreadK} °C from day to day is taken`,
      fix: 'Hold a thermometer into the fuel at each fill and write fuel_temperature_c into runs.csv.',
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
function ofFills(code: string, field: 'fillRepeatabilityLitres' | 'meterTolerancePct', say: SayFill): Probe {
  return {
    code,
    rough: false,
    ofClaimsOnly: 'always there',
    look: (state) => {
      const filled = runsWith(state, ({ run }) => run.row !== null && run.row.fuelLitres > 0)
      if (filled.length === 0) return null
      const stated = state.campaign.fuel[field]
      return {
        ...say(stated),
        runs: [],
        withoutAnswer: [],
        change: { campaign: (campaign) => ({ ...campaign, fuel: { ...campaign.fuel, [field]: 0 } }) },
      }
    },
  }
}
type SayFill = (stated: number | null) => { message: string; fix: string }

/** In no order: what each costs is what sorts them. */
export const PROBES: Probe[] = [
  ...AIR_PROBES,
  ofRuns(
    'poor-recording',
    isPoorRecording,
    (some, state) => ({
      message: `${count(some, state)} ${verb(some, state, 'was', 'were')} recorded sparsely, with gaps or with coarse positions, so the demand is in doubt by up to ${(100 * worst(some, (r) => [r.ensembleRun.recordingSd])).toFixed(1)} %: ${someOf(ids(some))}`,
      fix: 'Record a position every second with the satellite receiver at full accuracy, from before the start to after the end.',
    }),
    (run, record) => ({ ...run, recordingSd: cleanRecordingSd(record) }),
  ),
  ofVehicle('mass-unstated', 'mass (kg)', 'mass_kg', (s) => s.campaign.vehicle.massKg !== null, 'massKg', 0),
  ofVehicle(
    'drag-area-unstated',
    'drag area (m²)',
    'drag_area_m2',
    (s) => s.campaign.vehicle.dragAreaM2 !== null,
    'dragAreaM2',
    2,
  ),
  ofVehicle(
    'rolling-resistance-unstated',
    'rolling resistance',
    'rolling_resistance',
    (s) => s.campaign.vehicle.rollingResistance !== null,
    'rollingResistance',
    4,
  ),
  fuelTemperature,
  ofFills('fills', 'fillRepeatabilityLitres', (stated) => ({
    message: `Two fills to the same level differ by ± ${stated ?? MEASUREMENT_SD.fillLitres} l${stated === null ? ' (a default; campaign.yaml does not say)' : ''}`,
    fix: `Weigh the fuel, drive a longer route, or fill at one pump in one chain and name it in fill_group${stated === null ? '; find your own figure by filling five times in a row (fuel: fill_repeatability_l)' : ''}.`,
  })),
  ofFills('pump-meter', 'meterTolerancePct', () => ({
    message: 'The pump’s meter may be off by its tolerance, which cancels only between fills at one pump',
    fix: 'Fill at one pump and say so with fill_group, or weigh the fuel.',
  })),
]
