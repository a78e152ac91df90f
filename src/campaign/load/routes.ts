import type { Problem } from '../../base/problem.ts'
import { forgetful, type Remember } from '../../base/remember.ts'
import type { TerrainTile } from '../../read/terrain/types.ts'
import { profileOf } from '../../road/profile.ts'
import { routesOf } from '../../road/routes.ts'
import { terrainWitness } from '../../road/terrain.ts'
import type { ElevationProfile, Route } from '../../road/types.ts'
import { MATCH } from '../kept/match-shape.ts'
import type { RouteContext } from './route-context.ts'
import type { Run } from './runs.ts'

/** The roads of a campaign, with each run's place on its own. */
export interface Roads {
  routes: Route[]
  /** In the order of the routes. */
  names: string[]
  /** In the order of the runs. */
  contexts: RouteContext[]
  problems: Problem[]
}

/** Groups runs by road and estimates one elevation profile for each road, with the terrain where there are tiles. */
export function roadsOf(runs: Run[], tiles: TerrainTile[] = [], remember: Remember = forgetful): Roads {
  const paths = runs.map((run) => run.drive.path)
  const routes = routesOf(paths, (run, on, match) => remember(MATCH, [runs[run].source, runs[on].source], match))
  const names = routes.map((_, i) => `route-${i + 1}`)
  const contexts: RouteContext[] = new Array(runs.length)
  const problems: Problem[] = []
  routes.forEach((route, index) => {
    const reference = paths[route.reference]
    const witnesses = route.members.map(({ run, match }) => ({
      axisM: match.axisM,
      elevationM: runs[run].drive.pathElevationM,
    }))
    const terrain = tiles.length > 0 ? terrainWitness(reference, tiles) : null
    const profile = profileOf(witnesses, route.lengthM, reference.spacingM, terrain)
    if (tiles.length > 0)
      problems.push(...coverageNote(names[index], terrain?.knownShare ?? 0, profile?.terrain ?? null))
    const region = `${Math.floor(reference.latitude[0])},${Math.floor(reference.longitude[0])}`
    const road = { index, name: names[index], region, axisSource: runs[route.reference].source, profile }
    for (const member of route.members) {
      contexts[member.run] = { ...road, path: paths[member.run], member }
    }
  })
  return { routes, names, contexts, problems }
}

/** From this share on a road lies within the tiles: what is missing is a gap of the recording or a void. */
const WHOLE_ROAD_SHARE = 0.98

/** Says how much of a road the tiles know, where it is not all of it. */
function coverageNote(route: string, share: number, used: ElevationProfile['terrain']): Problem[] {
  if (share >= WHOLE_ROAD_SHARE) return []
  const rest = used ? 'the rest is taken from the drives’ heights, or bridged' : 'too little, they are not used for it'
  const message = `the terrain tiles know ${Math.floor(100 * share)} % of ${route}; ${rest}`
  return [{ code: 'tiles-incomplete', severity: 'note', message, hint: 'Add the tiles of the squares next to it.' }]
}
