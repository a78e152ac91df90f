import { readCampaign } from '../../read/campaign/campaign.ts'
import { readYaml } from '../../read/campaign/yaml-document.ts'
import { inFormWords } from './form-words.ts'
import { type SettingValue, withSetting } from './yaml-text.ts'

/** What a settings file says, as plain values; null where it is not YAML with keys. */
export function settingsIn(text: string): Record<string, unknown> | null {
  const value = readYaml(text).value?.value ?? (text.trim() === '' ? {} : null)
  return typeof value === 'object' && value !== null && !Array.isArray(value)
    ? (value as Record<string, unknown>)
    : null
}

/** The value at a path as a form shows it; empty where there is none. */
export function shownSetting(settings: Record<string, unknown> | null, path: readonly string[]): string {
  const value = path.reduce<unknown>((at, key) => (at as Record<string, unknown> | null | undefined)?.[key], settings)
  if (value === null || value === undefined) return ''
  return Array.isArray(value) ? value.join(', ') : String(value)
}

/** What was typed, as the file holds it: a number where it is one, with a decimal point or comma. */
export function typedValue(kind: 'number' | 'text' | 'choice' | 'list', typed: string): SettingValue {
  const text = typed.trim()
  if (kind === 'list')
    return text === ''
      ? []
      : text
          .split(',')
          .map((part) => part.trim())
          .filter((part) => part !== '')
  if (text === '') return undefined
  const plain = text.replace(',', '.').replace(/^\u2212/, '-')
  return kind === 'number' && /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain) ? Number(plain) : text
}

/** A settings text with one setting changed, and why it cannot be so: what the reader of campaign.yaml says of it. */
export function changedSettings(
  text: string,
  path: readonly string[],
  value: SettingValue,
): { text: string; refusal: null } | { text: null; refusal: string } {
  const changed = withSetting(text, path, value)
  if (changed === null)
    return { text: null, refusal: 'the file cannot be changed here: put its text right first, below' }
  const before = new Set(readCampaign(text).problems.map(({ message }) => message))
  const wrong = readCampaign(changed).problems.find(
    // Frontal area and drag coefficient can be stated only one after the other.
    ({ code, severity, message }) =>
      severity === 'error' && code !== 'campaign-drag-incomplete' && !before.has(message),
  )
  if (wrong === undefined) return { text: changed, refusal: null }
  return { text: null, refusal: inFormWords(wrong.hint ? `${wrong.message}. ${wrong.hint}` : wrong.message) }
}
