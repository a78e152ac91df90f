import { COAST_DOWN, FIELD_GROUPS, MORE_GROUPS, NAMED_SECTIONS, type SettingField } from './settings-fields.ts'

/** A label without its unit and its explanation. */
const withoutUnit = (label: string): string => label.replace(/, [^,]*$/, '').replace(/ \(.*\)$|: the .*$/, '')

/** What a form calls the keys of campaign.yaml, the longest first: "vehicle.mass_kg" before "mass_kg". */
const LABELS: readonly [key: string, label: string][] = [
  ...[...FIELD_GROUPS, ...MORE_GROUPS].flatMap(({ fields }) => fields.flatMap(labelsOf)),
  ...COAST_DOWN.fields.map(({ key, label }): [string, string] => [key, label]),
  ...NAMED_SECTIONS.flatMap(({ fields }) => fields.map(({ key, label }): [string, string] => [key, label])),
].sort(([a], [b]) => b.length - a.length)

/** A field under its whole path and under its own key; a standard deviation names the field above it. */
function labelsOf({ path, label }: SettingField, i: number, fields: readonly SettingField[]): [string, string][] {
  const own = label.startsWith('its ') ? `${withoutUnit(fields[i - 1].label)}: standard deviation` : label
  const key = path[path.length - 1]
  // "name" and "class" are words of sentences, too.
  const bare = key.includes('_') ? [key] : []
  return [path.join('.'), ...bare].map((at) => [at, own])
}

/** A message about campaign.yaml for who sees its forms: the keys under the names that the forms have for them. */
export function inFormWords(message: string): string {
  const keys = LABELS.map(([key]) => key.replaceAll('.', '\\.')).join('|')
  // A key that is quoted is what the file says, not a field.
  return message.replace(
    new RegExp(`(?<![\\w."])(${keys})(?![\\w"])(:(?= |$))?`, 'g'),
    (whole, key: string, colon = '') => {
      const label = LABELS.find(([one]) => one === key)?.[1]
      // A key of one word may be a word of the sentence.
      const isWord = !/[._]/.test(key) && colon === ''
      return label === undefined || isWord ? whole : `“${withoutUnit(label)}”${colon}`
    },
  )
}
