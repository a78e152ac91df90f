import type { Remember } from '../../base/remember.ts'
import { keyOf } from '../../records/content-key.ts'

/** Results of earlier calls in memory, by what they were made from. Whoever takes one must not change it. */
export interface KeptResults {
  key: (kind: { name: string }, parts: readonly unknown[]) => string
  get: <T>(key: string) => T | undefined
  keep: (key: string, value: unknown) => void
  remember: Remember
  /** Begins a call, and forgets what none of the last few has asked for. */
  begin: () => void
}

/** An edit and what takes it back are answered from memory; what is older is made again. */
const CALLS_KEPT = 3

/**
 * What is kept between the calls of one page. Its size is bounded by the campaign's: a few times what the last calls
 * used.
 */
export function keptResults(): KeptResults {
  const entries = new Map<string, { value: unknown; call: number }>()
  let call = 0
  const key: KeptResults['key'] = (kind, parts) => keyOf({ version: '' }, kind, parts)
  const get: KeptResults['get'] = <T>(of: string): T | undefined => {
    const entry = entries.get(of)
    if (!entry) return undefined
    entry.call = call
    return entry.value as T
  }
  const keep = (of: string, value: unknown): void => {
    entries.set(of, { value, call })
  }
  return {
    key,
    get,
    keep,
    remember: (kind, parts, make) => {
      const of = key(kind, parts)
      const known = get<ReturnType<typeof make>>(of)
      if (known !== undefined) return known
      const fresh = make()
      keep(of, fresh)
      return fresh
    },
    begin: () => {
      call++
      for (const [of, entry] of entries) if (entry.call < call - CALLS_KEPT) entries.delete(of)
    },
  }
}
