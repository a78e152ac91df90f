import type { Memory } from '../campaign/load/memory.ts'
import type { Match } from '../road/types.ts'
import { type Cache, fromCache, intoCache, keyOf, throughCache } from './cache.ts'
import { stepKeys } from './step-keys.ts'

/** A match without its only column that is as long as the path. */
type Outline = Omit<Match, 'axisM'>

/**
 * What the calls for one report found out, each thing under the content that it was made from. The outlines of all its
 * matches lie together: a thousand runs have two thousand, and of most of them nothing else is asked.
 */
export function memoryIn(cache: Cache, report: string): Memory & { keepMatches: () => void } {
  const place = keyOf(cache, 'matches', [report])
  const before = (fromCache(cache, place) as Map<string, Outline> | undefined) ?? new Map<string, Outline>()
  const used = new Map<string, Outline>()
  return {
    weather: ({ sha256, kind }, { timeZone, fileName, ...spans }, read) => {
      const dating = kind === 'metar' ? JSON.stringify(spans) : ''
      return throughCache(cache, keyOf(cache, 'weather', [sha256, kind, String(timeZone), fileName, dating]), read)
    },
    match: (run, on, match) => {
      const key = keyOf(cache, 'match', [run.source, on.source])
      const whole = (): Match => throughCache(cache, key, match)
      const outline = before.get(key)
      const found = outline ? withAxis(outline, whole) : whole()
      used.set(key, outline ?? outlineOf(found))
      return found
    },
    drawn: (setting, task, draw) => throughCache(cache, keyOf(cache, 'drawn', stepKeys(setting, [task], cache)), draw),
    keepMatches: () => {
      const same = used.size === before.size && [...used.keys()].every((key) => before.has(key))
      if (!same) intoCache(cache, place, used)
    },
  }
}

const outlineOf = ({ axisM: _, ...outline }: Match): Outline => outline

/** The match whose axis comes when it is asked for. */
function withAxis(outline: Outline, whole: () => Match): Match {
  let axisM: Float64Array | null = null
  return {
    ...outline,
    get axisM() {
      axisM ??= whole().axisM
      return axisM
    },
  }
}
