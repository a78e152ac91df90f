import type { Outcome } from '../../base/problem.ts'
import type { Observations } from '../types.ts'
import type { WeatherContext, WeatherReader } from './reader.ts'
import { WEATHER_READERS } from './readers.ts'

export type { WeatherContext } from './reader.ts'

export type WeatherKind = (typeof WEATHER_READERS)[number]['kind']

const READERS: readonly WeatherReader<WeatherKind>[] = WEATHER_READERS

/** The names of all formats of weather files. */
export const WEATHER_KINDS: readonly WeatherKind[] = READERS.map(({ kind }) => kind)

/** Whether files of a kind are written in Windows-1252 by those who make them. */
export const isLegacyText = (kind: string): boolean =>
  READERS.some((reader) => reader.kind === kind && reader.encoding !== undefined)

/** Whether a kind of file is one of weather. */
export const isWeatherKind = (kind: string): kind is WeatherKind => (WEATHER_KINDS as readonly string[]).includes(kind)

/**
 * The format of weather files that a text belongs to; null for anything else.
 * @param syntax how the text is written, where that shows: only formats of that syntax are looked at
 */
export const weatherKindOf = (head: string, syntax?: 'json' | 'xml'): WeatherKind | null =>
  READERS.find((reader) => reader.syntax === syntax && reader.recognises(head))?.kind ?? null

/** Of the context that on which the reading of this kind depends, in the order in which its reader names it. */
export function dependenciesOf(kind: WeatherKind, context: WeatherContext): Partial<WeatherContext> {
  return Object.fromEntries(readerOf(kind).dependsOn.map((name) => [name, context[name]]))
}

/** Reads a weather file of a kind that is already known. Bad input comes back as problems; nothing throws. */
export function readWeather(kind: WeatherKind, text: string, context: WeatherContext): Outcome<Observations> {
  return readerOf(kind).read(text, dependenciesOf(kind, context) as WeatherContext)
}

function readerOf(kind: WeatherKind): WeatherReader<WeatherKind> {
  const reader = READERS.find((one) => one.kind === kind)
  if (!reader) throw new Error(`no reader is registered for ${kind}`)
  return reader
}
