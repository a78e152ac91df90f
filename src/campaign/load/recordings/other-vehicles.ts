import type { Problem } from '../../../base/problem.ts'
import { yesOrNo } from '../../../read/table/yes-or-no.ts'
import { type Unlikeness, unlikeOthers } from '../../../road/unlike-others.ts'
import { type MannerKind, mannerKind } from '../../../track/manner.ts'
import type { Roads } from '../routes.ts'
import { isControl } from '../rows/control-rows.ts'
import type { Run } from '../runs.ts'
import type { OtherVehicle } from './left-out.ts'

const ON_ITS_ROAD: Record<Unlikeness, OtherVehicle['code']> = {
  'slow-throughout': 'slower-than-others',
  'fast-throughout': 'faster-than-others',
  'stops-of-its-own': 'moves-like-bus',
}

/** So many other drives on one way show that it is a road. */
const LEAST_BY_ROAD = 2
/** Lighter than this a vehicle may well move like a bicycle, kg with driver. */
const LIGHT_KG = 200

/**
 * Finds the drives that were not made with the campaign's vehicle: their motion is that of a walk, a bicycle or a train
 * while most drives' is not, or they differ from the others of their road all along. What runs.csv says in `test_vehicle`
 * stands over that. Most drives are never flagged: what they have in common is the vehicle.
 */
export function withOtherVehicles(runs: Run[], { routes, contexts }: Roads): { runs: Run[]; kind: MannerKind | null } {
  const stated = runs.map(({ row }) => (isControl(row) ? false : yesOrNo(row?.testVehicle ?? null)))
  const kinds = onRoads(
    runs.map(({ drive, summary }) => mannerKind(drive.manner, summary, drive)),
    routes.map(({ members }) => members.map(({ run }) => run).filter((run) => stated[run] !== false)),
  )
  const judged = kinds.filter((_, i) => stated[i] !== false)
  const usual = judged.find((kind) => judged.filter((other) => other === kind).length > judged.length / 2) ?? null
  const unlike = new Map<number, Unlikeness | null>()
  for (const { members, lengthM } of routes) {
    // Who is known not to be the campaign's vehicle says nothing of the road.
    const like = members.filter(({ run }) => stated[run] !== false && (kinds[run] === null || kinds[run] === usual))
    const drives = like.map(({ run, match }) => {
      const { trace, manner } = runs[run].drive
      return { path: contexts[run].path, match, trace, manner }
    })
    for (const [i, unlikeness] of unlikeOthers(drives, lengthM).entries()) unlike.set(like[i].run, unlikeness)
  }
  const judge = (run: Run, i: number): OtherVehicle | null => {
    if (stated[i] === true) return null
    if (isControl(run.row)) return { code: 'control-vehicle', figures: {} }
    if (stated[i] === false) return { code: 'stated-other-vehicle', figures: {} }
    const { usualMps, topMps, stopM } = run.drive.manner
    const figures = { usual_mps: usualMps, top_mps: topMps }
    const kind = kinds[i]
    if (kind !== null && kind !== usual) return { code: `moves-like-${kind}`, figures }
    const unlikeness = unlike.get(i) ?? null
    if (unlikeness === null) return null
    return {
      code: ON_ITS_ROAD[unlikeness],
      figures: unlikeness === 'stops-of-its-own' ? { ...figures, count: stopM.length } : figures,
    }
  }
  return { runs: runs.map((run, i) => ({ ...run, otherVehicle: judge(run, i) })), kind: usual }
}

/**
 * Rails are no road: where two other drives or more, and more than move like trains, were made on the same way by road,
 * it is one, and what moves on it as gently as a train is a vehicle on a road. A loaded lorry does, and on a trunk road
 * it meets no sharper bends.
 */
function onRoads(kinds: readonly (MannerKind | null)[], routes: readonly (readonly number[])[]): (MannerKind | null)[] {
  const roads = routes.filter((members) => {
    const trains = members.filter((run) => kinds[run] === 'train').length
    return members.length - trains >= LEAST_BY_ROAD && members.length > 2 * trains
  })
  const byRoad = new Set(roads.flat())
  return kinds.map((kind, run) => (kind === 'train' && byRoad.has(run) ? null : kind))
}

/** Whether most drives move as no vehicle of this mass does. */
export const isVehicleDoubtful = (kind: MannerKind | null, massKg: number): boolean =>
  kind !== null && massKg >= LIGHT_KG

/** Says so. */
export function vehicleProblems(kind: MannerKind | null, massKg: number, campaignFile: string | null): Problem[] {
  if (!isVehicleDoubtful(kind, massKg)) return []
  const found = `most drives move like a ${kind}, and the vehicle is taken to have ${Math.round(massKg)} kg`
  return [
    {
      code: 'vehicle-doubtful',
      severity: 'warning',
      ...(campaignFile ? { file: campaignFile } : {}),
      message: `${found}; they are compared with each other as if that were right, and no claim is supported`,
      hint: 'State the class, such as bicycle, or mass_kg, drag_area_m2 and rolling_resistance of the vehicle in campaign.yaml.',
    },
  ]
}
