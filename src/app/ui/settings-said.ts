import type { SettingValue } from '../edit/yaml-text.ts'

/** Says a setting; what it may not be comes back as a sentence, and nothing is changed. */
export type Say = (path: readonly string[], value: SettingValue, done: string) => string | null

/** A section's keys; none where there is no section. */
export const asSection = (value: unknown): Record<string, unknown> =>
  typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : {}

/** What the forms show, and how they say something else. */
export interface Own {
  settings: Record<string, unknown> | null
  say: Say
}
