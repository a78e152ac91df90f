import type { Report, ReportRun } from '../contract.ts'

/** Fuel of a drive, or of drives measured together, against the mean of the corrected baseline of its road, percent. */
export interface FuelPoint {
  id: string
  setup: string
  startTime: string
  measuredPct: number
  /** null where conditions are not known. */
  correctedPct: number | null
  /** Whether it counts in a claim. */
  counts: boolean
}

/** The points of one setup in the order of time, with the means of those that count; null of none. */
export interface FuelOfSetup {
  setup: string
  points: FuelPoint[]
  meanMeasuredPct: number | null
  meanCorrectedPct: number | null
  /** Change of the baseline over its drives, percent, where a trend is shown; null elsewhere. */
  driftPct: number | null
}

/** Fuel by setup, the baseline first; empty where no drive has fuel or no baseline is known. */
export function fuelBySetup(report: Report): FuelOfSetup[] {
  const baseline = report.claims[0]?.baseline ?? report.settings.baseline
  if (baseline === null) return []
  const measured = measuredDrives(report)
  const references = referencesOf(measured, baseline)
  const points = measured.flatMap((drive): (FuelPoint & { route: string | null })[] => {
    const reference = references.get(drive.route)
    if (reference === undefined) return []
    const pct = (value: number): number => 100 * (value / reference - 1)
    const { per_100_km: raw, adjusted_per_100_km: adjusted } = drive.consumption
    return [{ ...drive, measuredPct: pct(raw), correctedPct: adjusted === null ? null : pct(adjusted) }]
  })
  const setups = [baseline, ...new Set(points.map(({ setup }) => setup).filter((setup) => setup !== baseline))]
  return setups.flatMap((setup): FuelOfSetup[] => {
    const own = points.filter((point) => point.setup === setup)
    if (own.length === 0) return []
    const counting = own.filter(({ counts }) => counts)
    const drift = setup === baseline ? report.claims.find(({ drift }) => drift?.resolved)?.drift : null
    return [
      {
        setup,
        points: own.sort((a, b) => (a.startTime < b.startTime ? -1 : 1)),
        meanMeasuredPct: meanOf(counting.map(({ measuredPct }) => measuredPct)),
        meanCorrectedPct: meanOf(counting.flatMap(({ correctedPct }) => correctedPct ?? [])),
        driftPct: drift?.change_over_span_pct.estimate ?? null,
      },
    ]
  })
}

interface Measured {
  id: string
  setup: string
  route: string | null
  startTime: string
  counts: boolean
  consumption: NonNullable<ReportRun['consumption']>
}

/** Drives with fuel of their own, and stints, whose drives have theirs together. */
function measuredDrives({ runs, stints }: Report): Measured[] {
  const byId = new Map(runs.map((run) => [run.id, run]))
  const single = runs.flatMap((run): Measured[] => {
    const { id, setup, route, start_time: startTime, consumption, use } = run
    if (consumption === null || setup === null) return []
    return [{ id, setup, route, startTime, counts: use.as !== 'left-out', consumption }]
  })
  const together = stints.flatMap(({ id, setup, runs: ids, consumption }): Measured[] => {
    const first = byId.get(ids[0] ?? '')
    if (consumption === null || setup === null || first === undefined) return []
    const { route, start_time: startTime, use } = first
    return [{ id, setup, route, startTime, counts: use.as !== 'left-out', consumption }]
  })
  return [...single, ...together]
}

/** Mean of the baseline by road: corrected, or as measured where nothing could be corrected. */
function referencesOf(measured: readonly Measured[], baseline: string): Map<string | null, number> {
  const found = new Map<string | null, number>()
  for (const route of new Set(measured.map((one) => one.route))) {
    const own = measured.filter((one) => one.route === route && one.setup === baseline && one.counts)
    const mean = meanOf(own.map(({ consumption: c }) => c.adjusted_per_100_km ?? c.per_100_km))
    if (mean !== null) found.set(route, mean)
  }
  return found
}

const meanOf = (values: readonly number[]): number | null =>
  values.length === 0 ? null : values.reduce((sum, value) => sum + value, 0) / values.length
