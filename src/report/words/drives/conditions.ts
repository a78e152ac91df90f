import { fixed } from '../../../base/figures.ts'
import { figure, joined, type Sentence, say } from '../../../base/sentence.ts'
import type { ReportRun } from '../../contract.ts'

/** What the conditions of a drive are told from. */
export type ConditionsFacts = Pick<ReportRun, 'air' | 'wind' | 'sun' | 'moving_speed_mps'>

/** A drive's conditions in one line, for tables and statements; says so where they are not known. */
export function conditionsWords({ air, wind, sun, moving_speed_mps }: ConditionsFacts): Sentence {
  const parts: Sentence[] = []
  if (air.temperature_c !== null) parts.push([figure(air.temperature_c, 'temperature', 0)])
  if (air.density_kgm3 !== null) parts.push(say`air ${figure(air.density_kgm3, 'density', 3)}`)
  parts.push(windWords(wind))
  if (air.road_wet !== null) parts.push([air.road_wet ? 'wet road' : 'dry road'])
  if (sun.phase !== null && sun.phase !== 'day') parts.push([sun.phase])
  parts.push(say`${figure(moving_speed_mps, 'speed', 0)} while moving`)
  return joined(parts.flatMap((part, i) => (i === 0 ? [part] : [', ', part])))
}

function windWords({ speed_mps, from_deg, headwind_mps }: ReportRun['wind']): Sentence {
  if (speed_mps === null) return ['wind not known']
  const speed = say`wind ${figure(speed_mps, 'wind', 1)}`
  if (from_deg === null || headwind_mps === null) return say`${speed}, direction not known`
  const head = figure(Math.abs(headwind_mps), 'wind', 1)
  return say`${speed} from ${fixed(from_deg, 0)}° (mean ${headwind_mps < 0 ? 'tailwind' : 'headwind'} ${head} at the vehicle)`
}
