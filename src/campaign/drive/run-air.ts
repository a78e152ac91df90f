import { type AirField, airAlong } from '../../air/field.ts'
import type { RunAir } from '../../air/types.ts'
import type { Steps } from '../../demand/types.ts'

/** The air is asked for at least this often along a run, s. */
const NODE_S = 60

/** The air along a run, at a node a minute. */
export function runAirOf(field: AirField, runId: string, steps: Steps): RunAir {
  const nodes: number[] = []
  const last = steps.time.length - 1
  for (let i = 0; i <= last; i++) {
    if (nodes.length === 0 || i === last || steps.time[i] - steps.time[nodes[nodes.length - 1]] >= NODE_S) nodes.push(i)
  }
  if (nodes.length === 1) nodes.push(last)
  const pick = (column: Float64Array): Float64Array => Float64Array.from(nodes, (i) => column[i])
  return airAlong(field, runId, {
    time: pick(steps.time),
    latitude: pick(steps.latitude),
    longitude: pick(steps.longitude),
    elevationM: pick(steps.elevationM),
  })
}
