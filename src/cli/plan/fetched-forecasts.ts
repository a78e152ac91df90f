import { join } from 'node:path'
import { textOfFile } from '../../files/fetched-files.ts'
import { readFetchedList } from '../../read/fetched-list.ts'

/** Forecasts that `ceteris weather --forecast` left in a folder, and when the oldest of them was fetched. */
export function fetchedForecasts(folder: string): { paths: string[]; fetchedS: number } | null {
  const text = textOfFile(folder, 'forecast/ceteris-fetched.json')
  const entries = (text === null ? null : readFetchedList(text).value)?.entries ?? []
  const forecasts = entries.filter(({ purpose, file }) => purpose === 'forecast' && file !== null)
  if (forecasts.length === 0) return null
  return {
    paths: forecasts.map(({ file }) => join(folder, 'forecast', file ?? '')),
    fetchedS: Math.min(...forecasts.map(({ fetched_at }) => Date.parse(fetched_at) / 1000)),
  }
}
