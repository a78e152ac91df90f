import type { Outcome } from '../../base/problem.ts'
import { failed, found } from '../../base/problem.ts'

/** Parses a JSON text; one that is cut off or no JSON is an error with what the parser says. */
export function parseJson(text: string): Outcome<unknown> {
  try {
    return found(JSON.parse(text.replace(/^\uFEFF/, '')))
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error
    const isCut = !/[}\]]\s*$/.test(text)
    const message = isCut
      ? `the JSON text breaks off after ${text.length} characters; nothing of it is used`
      : `this is no JSON text that can be read: ${error.message.slice(0, 100)}`
    return failed({ code: 'json-damaged', message, hint: 'Copy or download it again.' })
  }
}

export type JsonObject = Record<string, unknown>

export const isObject = (value: unknown): value is JsonObject =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/** The object at a key, or an empty one. */
export const objectAt = (value: unknown, key: string): JsonObject => {
  const inner = isObject(value) ? value[key] : undefined
  return isObject(inner) ? inner : {}
}

export const listAt = (value: unknown, key: string): unknown[] => {
  const inner = isObject(value) ? value[key] : undefined
  return Array.isArray(inner) ? inner : []
}

/** The number at a key, also where it is written as text; NaN for anything else. */
export function numberAt(value: unknown, key: string): number {
  const inner = isObject(value) ? value[key] : undefined
  if (typeof inner === 'number') return inner
  return typeof inner === 'string' && /^[+-]?\d+(\.\d+)?$/.test(inner.trim()) ? Number(inner) : Number.NaN
}

export function textAt(value: unknown, key: string): string {
  const inner = isObject(value) ? value[key] : undefined
  return typeof inner === 'string' ? inner : ''
}
