import type { AirAlong } from '../air/types.ts'
import { crosswindMps, headwindMps } from '../air/wind.ts'
import type { StepAir, Steps } from './types.ts'

/** The air of a run at each of its steps: that of the node nearest in time, the later of two. */
export function stepAirOf(along: AirAlong, steps: Steps): StepAir {
  const node = new Int32Array(steps.time.length)
  for (let i = 0, n = 0; i < node.length; i++) {
    while (n < along.time.length - 1 && along.time[n + 1] - steps.time[i] <= steps.time[i] - along.time[n]) n++
    node[i] = n
  }
  const at = (values: Float64Array): Float64Array => {
    const column = new Float64Array(node.length)
    for (let i = 0; i < column.length; i++) column[i] = values[node[i]]
    return column
  }
  return {
    node,
    densityKgM3: at(along.densityKgM3),
    temperatureK: at(along.temperatureK),
    windEastMps: at(along.windEastMps),
    windNorthMps: at(along.windNorthMps),
    undirectedMps: at(along.undirectedMps),
    departureSdMps: at(along.windDepartureSdMps),
  }
}

/**
 * The 10 m wind at a step by the direction of travel: headwind positive against the motion, crosswind positive from the
 * right, m/s; NaN where the wind is not known.
 */
export function windOnCourse(steps: Steps, air: StepAir, i: number): { headMps: number; crossMps: number } {
  const [east, north] = [air.windEastMps[i], air.windNorthMps[i]]
  const [courseEast, courseNorth] = [steps.courseEast[i], steps.courseNorth[i]]
  return {
    headMps: headwindMps(east, north, courseEast, courseNorth),
    crossMps: crosswindMps(east, north, courseEast, courseNorth),
  }
}

/** The place of a step with the observed wind there. */
export const windyPlace = (steps: Steps, air: StepAir, i: number) => ({
  latitude: steps.latitude[i],
  longitude: steps.longitude[i],
  eastMps: air.windEastMps[i],
  northMps: air.windNorthMps[i],
})
