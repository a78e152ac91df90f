import { present } from '../../base/present.ts'
import { sum } from '../../base/statistics.ts'
import type { FuelRun } from '../../claim/types.ts'
import type { RunsOfRow } from '../load/runs.ts'

/** A stint as one run of a claim: its fuel was used over all its drives, so it is held against the demand of them all. */
export interface StintRun extends FuelRun {
  /** Ids of its drives. */
  runs: string[]
}

/**
 * The stints whose drives are all known, as runs of claims. Stints over the same roads in the same order are compared with
 * each other: such a chain of roads counts as a road of its own.
 * @param runs of the single drives, by id
 * @param routeNames of the campaign's roads; the chains' names are added behind them
 */
export function stintRuns(stints: RunsOfRow[], runs: ReadonlyMap<string, FuelRun>, routeNames: string[]): StintRun[] {
  const chains = new Map<string, number>()
  return stints.flatMap(({ row, runs: ids }): StintRun[] => {
    const members = ids.flatMap((id) => runs.get(id) ?? [])
    if (members.length === 0 || members.length < ids.length) return []
    const distanceM = sum(Float64Array.from(members, (run) => run.distanceM))
    const mean = (of: (run: FuelRun) => number): number =>
      sum(Float64Array.from(members, (run) => of(run) * run.distanceM)) / distanceM
    const total = (of: (run: FuelRun) => number): number => sum(Float64Array.from(members, of))
    const draws = members.map((run) => run.demandDraws)
    const leftOut = members.find((run) => run.leftOut !== null)?.leftOut ?? null
    return [
      {
        ...members[0],
        id: ids.length > 1 ? `${ids[0]} to ${ids[ids.length - 1]}` : ids[0],
        runs: ids,
        route: routeOf(members, chains, routeNames),
        row,
        logged: {
          fuelLitres: total((run) => run.logged?.fuelLitres ?? Number.NaN),
          energyKwh: total((run) => run.logged?.energyKwh ?? Number.NaN),
        },
        setup: row.setup,
        endTime: members[members.length - 1].endTime,
        distanceM,
        demandDraws: draws.every((d) => d !== null)
          ? draws[0].map((_, k) => mean((run) => present(run.demandDraws)[k]))
          : null,
        drawnFrom: [...new Set(members.flatMap((run) => run.drawnFrom ?? []))],
        nominalDemandJPerM: mean((run) => run.nominalDemandJPerM),
        nominalDragJPerM: mean((run) => run.nominalDragJPerM),
        leftOut: row.exclude ? { code: 'stated', note: row.exclude } : leftOut,
      },
    ]
  })
}

/** The road of the members where they have one, or else the chain of their roads. */
function routeOf(members: FuelRun[], chains: Map<string, number>, routeNames: string[]): number {
  const routes = members.map(({ route }) => route)
  if (routes.every((route) => route === routes[0])) return routes[0]
  const chain = routes.join(' ')
  const known = chains.get(chain)
  if (known !== undefined) return known
  routeNames.push(routes.map((route) => routeNames[route]).join(' + '))
  chains.set(chain, routeNames.length - 1)
  return routeNames.length - 1
}
