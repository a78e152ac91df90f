import type { ReportPair } from './contract.ts'

/** Whether two drives took one road in one direction, so that a comparison is at all a question. */
export const onOneRoad = ({ cause }: ReportPair): boolean => cause !== 'other-road' && cause !== 'opposite-direction'
