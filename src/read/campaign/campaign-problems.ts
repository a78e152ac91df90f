import type { z } from 'zod'
import type { Problem } from '../../base/problem.ts'
import { nearestWord } from '../table/nearest-word.ts'
import { zoneMeant, zoneOf } from '../time-zone.ts'
import { type CampaignText, campaignSchema } from './campaign-schema.ts'
import type { YamlDocument } from './yaml-document.ts'

/** A file with more unknown keys is of another kind. */
const MOST_KEYS = 100

/** What one complaint of the schema means to the user, with its place. */
export function problemsOf(issue: z.core.$ZodIssue, content: unknown, document: YamlDocument): Problem[] {
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.slice(0, MOST_KEYS).map((key) => unknownKey([...issue.path, key], document))
  }
  const name = nameOf(issue.path) || 'the file'
  const value = valueAt(content, issue.path)
  if (value === undefined) {
    const message = `${name} is missing: expected ${issue.message}`
    return [{ code: 'campaign-missing-key', severity: 'error', message, ...document.placeOfKey(issue.path) }]
  }
  const problem: Problem = {
    code: 'campaign-value',
    severity: 'error',
    message: `${name}: found ${shown(value)}, expected ${issue.message}`,
    ...document.placeOfValue(issue.path),
  }
  const hint = hintFor(issue, value)
  return [hint ? { ...problem, hint } : problem]
}

/** A key as its path; of one that is longer than any, its start. */
const nameOf = (path: readonly PropertyKey[]): string => {
  const whole = path.map(String).join('.')
  return whole.length > 100 ? `${whole.slice(0, 100)}…` : whole
}

function unknownKey(path: PropertyKey[], document: YamlDocument): Problem {
  const known = keysAt(path.slice(0, -1))
  const near = nearestWord(String(path.at(-1)), known)
  return {
    code: 'campaign-unknown-key',
    severity: 'error',
    message: `found the unknown key "${nameOf(path)}", expected one of ${known.join(', ')}`,
    ...document.placeOfKey(path),
    ...(near ? { hint: `Did you mean ${near}?` } : {}),
  }
}

/** The keys that the section at a path may have. */
function keysAt(path: readonly PropertyKey[]): string[] {
  const shape = campaignSchema.shape
  const [section, inner] = path
  if (section === 'stations') return Object.keys(shape.stations.unwrap().unwrap().valueType.shape)
  if (section === 'fuel') return Object.keys(shape.fuel.unwrap().unwrap().shape)
  if (section !== 'vehicle') return Object.keys(shape)
  const vehicle = shape.vehicle.unwrap().unwrap().shape
  return Object.keys(inner === 'coast_down' ? vehicle.coast_down.unwrap().unwrap().shape : vehicle)
}

function shown(value: unknown): string {
  if (Array.isArray(value)) return value.length === 0 ? 'an empty list' : 'a list'
  if (value === null) return 'nothing'
  if (typeof value === 'object') return 'a section with keys of its own'
  if (typeof value !== 'string') return String(value)
  return `the text "${value.length > 40 ? `${value.slice(0, 40)}…` : value}"`
}

function hintFor(issue: z.core.$ZodIssue, value: unknown): string | null {
  if (issue.code === 'invalid_value' && typeof value === 'string') {
    const near = nearestWord(value, issue.values.map(String))
    return near ? `Did you mean ${near}?` : null
  }
  if (issue.path.at(-1) === 'rolling_resistance' && typeof value === 'number' && value >= 3 && value <= 50) {
    return `If this is in kg/t, write ${value / 1000}.`
  }
  if (typeof value !== 'string' || issue.code !== 'invalid_type' || issue.expected !== 'number') return null
  if (/^[+-]?\d+,\d+$/.test(value)) return `Write the decimals after a point: ${value.replace(',', '.')}.`
  return /\d/.test(value) ? 'Write the number alone; its unit is in the name of the key.' : null
}

/** What each key allows by itself and the keys together do not. */
export const contradictions = (text: CampaignText, document: YamlDocument): Problem[] => [
  ...dragProblems(text.vehicle ?? {}, document),
  ...stationProblems(text, document),
  ...baselineProblems(text, document),
  ...zoneProblems(text, document),
]

function dragProblems(vehicle: NonNullable<CampaignText['vehicle']>, document: YamlDocument): Problem[] {
  const problems: Problem[] = []
  const hasArea = vehicle.frontal_area_m2 != null
  const hasCoefficient = vehicle.drag_coefficient != null
  if (hasArea !== hasCoefficient && vehicle.drag_area_m2 == null) {
    const [given, missing] = hasArea ? ['frontal_area_m2', 'drag_coefficient'] : ['drag_coefficient', 'frontal_area_m2']
    const message = `vehicle.${given} is given without ${missing}: expected both, or drag_area_m2 (their product)`
    const place = document.placeOfKey(['vehicle', given])
    problems.push({ code: 'campaign-drag-incomplete', severity: 'error', message, ...place })
  }
  if ((hasArea || hasCoefficient) && vehicle.drag_area_m2 != null) {
    const given = hasArea ? 'frontal_area_m2' : 'drag_coefficient'
    const message = `vehicle.${given} is ignored, because drag_area_m2 is given as well`
    const place = document.placeOfKey(['vehicle', given])
    problems.push({ code: 'campaign-drag-twice', severity: 'warning', message, ...place })
  }
  return problems
}

function stationProblems({ stations }: CampaignText, document: YamlDocument): Problem[] {
  return Object.entries(stations ?? {}).flatMap(([id, { lat, lon }]): Problem[] => {
    if ((lat == null) === (lon == null)) return []
    const message = `stations.${id}: found one of lat and lon, expected both or none; its position is not used`
    const place = document.placeOfKey(['stations', id])
    return [{ code: 'campaign-station-position', severity: 'error', message, ...place }]
  })
}

function baselineProblems({ baseline, setups: told }: CampaignText, document: YamlDocument): Problem[] {
  const setups = Object.keys(told ?? {})
  if (baseline == null || setups.length === 0 || setups.includes(baseline)) return []
  const near = nearestWord(baseline, setups)
  const message = `baseline: found "${baseline}", expected one of the setups ${setups.slice(0, 20).join(', ')}${setups.length > 20 ? ', …' : ''}`
  const hint = near ? { hint: `Did you mean ${near}?` } : {}
  const place = document.placeOfValue(['baseline'])
  return [{ code: 'campaign-baseline', severity: 'warning', message, ...place, ...hint }]
}

function zoneProblems({ time_zone: zone }: CampaignText, document: YamlDocument): Problem[] {
  if (zone == null || zoneOf(zone) !== null) return []
  const near = zoneMeant(String(zone))
  const message = `time_zone: found "${zone}", expected an IANA name such as Europe/Vienna, or an offset such as UTC-8; times without zone are read as UTC`
  const hint = near ? { hint: `Did you mean ${near}?` } : {}
  const place = document.placeOfValue(['time_zone'])
  return [{ code: 'campaign-time-zone', severity: 'error', message, ...place, ...hint }]
}

/** The value at a path of keys, undefined where there is none. */
export function valueAt(content: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>(
    (value, step) => (typeof value === 'object' && value !== null ? Reflect.get(value, step) : undefined),
    content,
  )
}
