import type { ReportClaim } from './contract.ts'

/** What of a claim tells whether a control vehicle drove. */
export type WithControl = { control: Omit<NonNullable<ReportClaim['control']>, 'sentence'> | null }

/** Whether a claim's change is that of the ratio to a control vehicle. */
export const isByControl = ({ control }: WithControl): boolean =>
  control !== null &&
  (control.ratio_consumption_change_pct !== null || control.with_model_consumption_change_pct !== null)
