import type { AirField } from '../../air/field.ts'
import type { RunAir } from '../../air/types.ts'
import { stepAirOf } from '../../demand/step-air.ts'
import { stepsOf } from '../../demand/steps.ts'
import type { StepAir, Steps } from '../../demand/types.ts'
import type { ElevationProfile, Member, Path } from '../../road/types.ts'
import type { Drive } from '../../track/types.ts'
import type { Run } from '../load/runs.ts'
import { runAirOf } from './run-air.ts'

/** A run in steps, with the air that it met and what it carried beside the vehicle, kg. */
export interface StepsInAir {
  steps: Steps
  runAir: RunAir
  air: StepAir
  payloadKg: number
}

/** Lays a run on its road and its road in the air: all that its demand is made from, and what is drawn and told of it. */
export function stepsInAir(
  { id, row, engineOff }: Pick<Run, 'id' | 'row'> & Partial<Pick<Run, 'engineOff'>>,
  drive: Drive,
  { path, member, profile }: { path: Path; member: Member; profile: ElevationProfile | null },
  field: AirField,
): StepsInAir {
  const steps = stepsOf(drive, { path, match: member.match, profile }, engineOff)
  const runAir = runAirOf(field, id, steps)
  const payloadKg = row && Number.isFinite(row.payloadKg) ? row.payloadKg : 0
  return { steps, runAir, air: stepAirOf(runAir.along, steps), payloadKg }
}
