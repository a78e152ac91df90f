import type { AirAlong } from '../air/types.ts'
import type { StepAir, Steps } from './types.ts'

/** The air of a run at each of its steps: linear in time between the places where it was asked for. */
export function stepAirOf(along: AirAlong, steps: Steps): StepAir {
  const at = (values: Float64Array): Float64Array => {
    let node = 0
    return Float64Array.from(steps.time, (time) => {
      while (node < along.time.length - 2 && along.time[node + 1] < time) node++
      const span = along.time[node + 1] - along.time[node]
      const share = span > 0 ? Math.min(1, Math.max(0, (time - along.time[node]) / span)) : 0
      return values[node] + share * (values[node + 1] - values[node])
    })
  }
  return {
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
    headMps: -(east * courseEast + north * courseNorth),
    crossMps: north * courseEast - east * courseNorth,
  }
}
