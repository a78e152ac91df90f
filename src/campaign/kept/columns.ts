import { z } from 'zod'
import type { Problem } from '../../base/problem.ts'

/** Any number, NaN where a quantity does not exist. */
export const number = z.custom<number>((value) => typeof value === 'number')
export const text = z.string()
export const textOrNull = text.nullable()
export const floats = z.instanceof(Float64Array)
export const integers = z.instanceof(Int32Array)
export const bytes = z.instanceof(Uint8Array)

/** Whether all columns of a record have one length. */
export function haveLength(record: object, length: number): boolean {
  return Object.values(record).every((value) => !ArrayBuffer.isView(value) || (value as Float64Array).length === length)
}

export const problem: z.ZodType<Problem> = z.strictObject({
  code: text,
  severity: z.enum(['error', 'warning', 'note']),
  message: text,
  file: text.optional(),
  line: z.number().optional(),
  column: z.number().optional(),
  hint: text.optional(),
})
