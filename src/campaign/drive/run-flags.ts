import { ASSUMED_HUMIDITY } from '../../air/blend.ts'
import type { Vehicle } from '../../demand/vehicle.ts'
import type { ReportRun } from '../../report/contract.ts'
import { toldFlag } from '../../report/words/drives/flags.ts'
import { flagsOf } from '../../track/flags.ts'
import { logFlags } from './log-flags.ts'
import type { RunRecord } from './run-record.ts'

type Flag = ReportRun['flags'][number]
type Found = Omit<Flag, 'message'>

/** Quality of the track, of its place on the road and of its air. */
export function flagsFor(record: RunRecord, roadM: number, vehicle: Vehicle): Flag[] {
  const { run, member, runAir } = record
  const told = (code: string, severity: Flag['severity'], message: string): Flag => ({
    code,
    severity,
    message,
    figures: null,
  })
  const { exclude = null } = run.row ?? {}
  return [
    ...run.problems.map(({ code, severity, message }) => told(code, severity, message)),
    ...[
      ...ownFlags(record, vehicle),
      ...roadFlags(member, roadM),
      ...airFlags(runAir),
      ...logFlags(record.log, record.logged, run.summary.distanceM),
    ].map(toldFlag),
    ...(run.otherVehicle ? [toldFlag({ severity: 'warning', ...run.otherVehicle })] : []),
    ...(exclude ? [told('excluded', 'note', `Excluded by runs.csv: ${exclude}`)] : []),
  ]
}

/** What is weak in the drive's own track. A lap, or a part that was stated, begins and ends on the move as it should. */
const ownFlags = (record: RunRecord, vehicle: Vehicle): Found[] =>
  flagsOf(record.drive)
    .filter(({ code }) => record.run.part === null || code !== 'cut-while-moving')
    .flatMap((flag): Found[] => (flag.code === 'long-stand' ? standFlag(flag, record, vehicle) : [flag]))

/** A battery charges for eight minutes or longer, s. Common practice, no source. */
const LEAST_CHARGING_S = 480

/** A long stand with what it would cost if the engine had run on; nothing where runs.csv says of it. */
function standFlag(flag: Found, { run, demand }: RunRecord, { powertrain }: Vehicle): Found[] {
  if (run.engineOff !== null || powertrain.kind === 'human') return []
  const { from_time, to_time } = flag.figures ?? {}
  if (from_time === undefined || to_time === undefined) return [flag]
  const idlingJ = powertrain.idlePowerW.value * (to_time - from_time)
  const share = demand ? { share: idlingJ / (demand.nominalJPerM * run.summary.distanceM) } : {}
  const isCharging = powertrain.kind === 'electric' && to_time - from_time >= LEAST_CHARGING_S
  const code = isCharging ? 'may-be-charging' : powertrain.kind === 'electric' ? 'long-stand-electric' : 'long-stand'
  return [{ ...flag, code, figures: { ...flag.figures, ...share } }]
}

/** A piece of the road that a drive lacks is told from this on, m. */
const LEAST_MISSING_M = 150

/** How much of the road a drive lacks at its begin, at its end, and between, m; only what is worth telling. */
function missingOf(covered: Uint8Array, roadM: number): Record<string, number> {
  const binM = roadM / covered.length
  const first = covered.indexOf(1)
  const last = covered.lastIndexOf(1)
  if (first < 0) return {}
  const holes = covered.subarray(first, last + 1).reduce((count, bin) => count + 1 - bin, 0)
  const lengths = { late_m: first * binM, early_m: (covered.length - 1 - last) * binM, hole_m: holes * binM }
  return Object.fromEntries(Object.entries(lengths).filter(([, length]) => length >= LEAST_MISSING_M))
}

/** How much of the road a drive went around, m. */
export const detourM = ({ match }: Pick<RunRecord['member'], 'match'>): number =>
  match.detours.reduce((sum, d) => sum + d.toM - d.fromM, 0)

function roadFlags({ relation, match }: RunRecord['member'], roadM: number): Found[] {
  const { hole_m, ...ends } = missingOf(match.covered, roadM)
  const hole = hole_m === undefined ? {} : { hole_m }
  const again: Found[] =
    match.againM > 0 ? [{ code: 'driven-twice', severity: 'note', figures: { length_m: match.againM } }] : []
  if (relation === 'part') {
    const figures = { share: match.coveredShare, ...ends, ...hole }
    return [{ code: 'part-of-route', severity: 'warning', figures }, ...again]
  }
  const around_m = detourM({ match })
  if (relation === 'detour') {
    const length_m = around_m + match.beforeM + match.afterM
    return [{ code: 'detour', severity: 'warning', figures: { length_m } }, ...again]
  }
  const flags: Found[] = []
  if (around_m > 0) flags.push({ code: 'detour', severity: 'note', figures: { length_m: around_m } })
  // What a detour passes by is no hole of the recording.
  const missing = around_m > 0 ? ends : { ...ends, ...hole }
  if (Object.keys(missing).length > 0) flags.push({ code: 'road-not-driven', severity: 'note', figures: missing })
  return [...flags, ...again]
}

function airFlags(runAir: RunRecord['runAir']): Found[] {
  const flags: Found[] = []
  const { missing, assumed } = runAir
  const add = (code: string, severity: Flag['severity'], figures: Record<string, number> = {}): void => {
    flags.push({ code, severity, figures })
  }
  if (missing.length > 0) add(missing.length === 2 ? 'no-weather' : `no-${missing[0]}`, 'warning')
  if (missing.includes('temperature')) return flags
  if (runAir.farShare > 0) add('weather-far', 'note', { share: runAir.farShare })
  if (runAir.beyondShare > 0) add('weather-beyond-reach', 'warning', { share: runAir.beyondShare })
  if (assumed.pressureSdPa > 0) add('pressure-assumed', 'warning', { sd_hpa: assumed.pressureSdPa / 100 })
  if (assumed.humiditySd > 0)
    add('humidity-assumed', 'note', { humidity: ASSUMED_HUMIDITY.value, sd: assumed.humiditySd })
  if (runAir.along.undirectedMps.some((w) => w > 1)) add('wind-direction-unknown', 'warning')
  return flags
}
