import type { AirField } from '../../air/field.ts'
import type { RunAir } from '../../air/types.ts'
import { stepAirOf } from '../../demand/step-air.ts'
import { stepsOf } from '../../demand/steps.ts'
import type { RunLoad, StepAir, Steps } from '../../demand/types.ts'
import type { ElevationProfile, Member, Path } from '../../road/types.ts'
import type { Drive } from '../../track/types.ts'
import type { Run } from '../load/runs.ts'
import { runAirOf } from './run-air.ts'

/** A run in steps, with the air that it met and what it carried and used beside the vehicle. */
export interface StepsInAir extends RunLoad {
  steps: Steps
  runAir: RunAir
  air: StepAir
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
  const said = (value: number | undefined): number => (value !== undefined && Number.isFinite(value) ? value : 0)
  const load = { payloadKg: said(row?.payloadKg), accessoriesW: said(row?.accessoriesW) }
  return { steps, runAir, air: stepAirOf(runAir.along, steps), ...load }
}
