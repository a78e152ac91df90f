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
export function contradictions(text: CampaignText, document: YamlDocument): Problem[] {
  const at = (path: string[]) => document.placeOfKey(path)
  const problems: Problem[] = []
  const vehicle = text.vehicle ?? {}
  const hasArea = vehicle.frontal_area_m2 != null
  const hasCoefficient = vehicle.drag_coefficient != null
  if (hasArea !== hasCoefficient && vehicle.drag_area_m2 == null) {
    const [given, missing] = hasArea ? ['frontal_area_m2', 'drag_coefficient'] : ['drag_coefficient', 'frontal_area_m2']
    const message = `vehicle.${given} is given without ${missing}: expected both, or drag_area_m2 (their product)`
    problems.push({ code: 'campaign-drag-incomplete', severity: 'error', message, ...at(['vehicle', given]) })
  }
  if ((hasArea || hasCoefficient) && vehicle.drag_area_m2 != null) {
    const given = hasArea ? 'frontal_area_m2' : 'drag_coefficient'
    const message = `vehicle.${given} is ignored, because drag_area_m2 is given as well`
    problems.push({ code: 'campaign-drag-twice', severity: 'warning', message, ...at(['vehicle', given]) })
  }
  for (const [id, station] of Object.entries(text.stations ?? {})) {
    if ((station.lat == null) === (station.lon == null)) continue
    const message = `stations.${id}: found one of lat and lon, expected both or none; its position is not used`
    problems.push({ code: 'campaign-station-position', severity: 'error', message, ...at(['stations', id]) })
  }
  const setups = Object.keys(text.setups ?? {})
  if (text.baseline != null && setups.length > 0 && !setups.includes(text.baseline)) {
    const near = nearestWord(text.baseline, setups)
    const message = `baseline: found "${text.baseline}", expected one of the setups ${setups.slice(0, 20).join(', ')}${setups.length > 20 ? ', …' : ''}`
    const hint = near ? { hint: `Did you mean ${near}?` } : {}
    problems.push({
      code: 'campaign-baseline',
      severity: 'warning',
      message,
      ...document.placeOfValue(['baseline']),
      ...hint,
    })
  }
  if (text.time_zone != null && zoneOf(text.time_zone) === null) {
    const near = zoneMeant(String(text.time_zone))
    const message = `time_zone: found "${text.time_zone}", expected an IANA name such as Europe/Vienna, or an offset such as UTC-8; times without zone are read as UTC`
    const hint = near ? { hint: `Did you mean ${near}?` } : {}
    problems.push({
      code: 'campaign-time-zone',
      severity: 'error',
      message,
      ...document.placeOfValue(['time_zone']),
      ...hint,
    })
  }
  return problems
}

/** The value at a path of keys, undefined where there is none. */
export function valueAt(content: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>(
    (value, step) => (typeof value === 'object' && value !== null ? Reflect.get(value, step) : undefined),
    content,
  )
}
