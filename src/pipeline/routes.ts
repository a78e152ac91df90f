import { pathOf } from '../road/path.ts'
import { profileOf, witnessOf } from '../road/profile.ts'
import { routesOf } from '../road/routes.ts'
import type { Route } from '../road/types.ts'
import type { RouteContext } from './run-record.ts'
import type { Run } from './runs.ts'

/** The roads of a campaign, with each run's place on its own. */
export interface Roads {
  routes: Route[]
  /** In the order of the routes. */
  names: string[]
  /** In the order of the runs. */
  contexts: RouteContext[]
}

/** Groups runs by road and estimates one elevation profile for each road. */
export function roadsOf(runs: Run[]): Roads {
  const paths = runs.map((run) => pathOf(run.drive))
  const routes = routesOf(paths)
  const names = routes.map((_, i) => `route-${i + 1}`)
  const contexts: RouteContext[] = new Array(runs.length)
  routes.forEach((route, index) => {
    const reference = paths[route.reference]
    const witnesses = route.members.map((m) => witnessOf(runs[m.run].drive, paths[m.run], m.match))
    const profile = profileOf(witnesses, route.lengthM, reference.spacingM)
    const region = `${Math.floor(reference.latitude[0])},${Math.floor(reference.longitude[0])}`
    for (const member of route.members) {
      contexts[member.run] = { index, name: names[index], region, path: paths[member.run], member, profile }
    }
  })
  return { routes, names, contexts }
}
