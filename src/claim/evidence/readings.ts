import { present } from '../../base/present.ts'
import { GPS_DISTANCE_SD, type RunConsumption } from '../fuel/consumption.ts'
import { batchError, drawKey } from '../fuel/measure.ts'
import type { Observation } from '../model/observation.ts'
import type { FuelRun } from '../types.ts'
import { READING_KINDS, type ReadingKind, WAYS } from './ways.ts'

/**
 * Readings other than the fuel as observations of the same consumption, corrected to like conditions: of drives whose
 * weather is known and which are not left out. A way that was not read with the baseline and another setup on a road says
 * nothing there and is left out.
 * @param usable drives with fuel: a drive has the errors of its conditions once, whatever it is read by
 */
export function readingsOf(
  usable: readonly RunConsumption[],
  runs: readonly FuelRun[],
  baseline: string,
  sessionOf: (run: FuelRun) => string,
): Observation[] {
  const corrected = new Map(usable.flatMap((c) => (c.conditions ? [[c.run.id, c] as const] : [])))
  return READING_KINDS.flatMap((way) => {
    const read = runs.filter((run) => corrected.has(run.id) && WAYS[way].read(run) > 0)
    const tells = (route: number): boolean => {
      const setups = new Set(read.filter((run) => run.route === route).map(({ setup }) => setup))
      return setups.has(baseline) && setups.size > 1
    }
    return read
      .filter(({ route }) => tells(route))
      .map((run) => observation(way, present(corrected.get(run.id)), sessionOf))
  })
}

function observation(way: ReadingKind, c: RunConsumption, sessionOf: (run: FuelRun) => string): Observation {
  const { run } = c
  const { log, read } = WAYS[way]
  const distance = { source: 'distance' as const, name: `distance/${drawKey(run)}`, sd: GPS_DISTANCE_SD }
  // Whatever counts the litres, they are those of one fuel.
  const batch = way === 'logged energy' || c.unit === 'kWh' ? [] : [batchError(run, 'l')]
  return {
    run,
    way,
    y: log(read(run), run) - (c.logRaw - c.logAdjusted),
    // A trip computer divides by its own distance.
    errors: way === 'logged fuel' ? [distance, ...batch] : batch,
    conditions: c.conditions,
    attributed: c.attributed,
    session: sessionOf(run),
  }
}
