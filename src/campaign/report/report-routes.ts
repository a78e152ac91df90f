import { finiteOrNull } from '../../base/figures.ts'
import type { ReportRoute } from '../../report/contract.ts'
import { elevationGain } from '../../track/elevation.ts'
import type { KeptRecord } from '../drive/run-record.ts'
import type { Roads } from '../load/routes.ts'
import { type Hidden, shownOutline } from './privacy.ts'

/** The roads as the report tells them. */
export async function reportRoutes(
  { routes, names, contexts }: Roads,
  records: KeptRecord[],
  hidden: Hidden | null,
): Promise<ReportRoute[]> {
  // Loaded here: the library behind it is large and serves the drawing alone.
  const { outlineOf } = await import('../../road/outline.ts')
  return routes.map((route, i) => {
    const profile = contexts[route.reference].profile
    return {
      id: names[i],
      length_m: route.lengthM,
      shape: route.shape,
      runs: route.members.map((m) => records[m.run].run.id),
      reference_run: records[route.reference].run.id,
      elevation_gain_m: profile ? finiteOrNull(elevationGain(profile.elevationM, profile.axisM).gainM) : null,
      outline: shownOutline(outlineOf(contexts[route.reference].path), hidden),
      opposite_of: route.oppositeOf === null ? null : names[route.oppositeOf],
    }
  })
}
