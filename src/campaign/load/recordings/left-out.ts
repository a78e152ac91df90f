import type { RunRow } from '../../../read/runs/rows.ts'
import type { MannerKind } from '../../../track/manner.ts'

/** Why a drive is taken to be another vehicle's; in m/s, and how many stops. */
export interface OtherVehicle {
  code:
    | 'stated-other-vehicle'
    | 'control-vehicle'
    | `moves-like-${MannerKind | 'bus'}`
    | 'slower-than-others'
    | 'faster-than-others'
  figures: { usual_mps?: number; top_mps?: number; count?: number }
}

/** A drive that is compared with no other: the user says so, or it is another vehicle's. */
export const isLeftOut = ({
  row,
  otherVehicle,
}: {
  row: Pick<RunRow, 'exclude'> | null
  otherVehicle: OtherVehicle | null
}): boolean => Boolean(row?.exclude) || otherVehicle !== null
