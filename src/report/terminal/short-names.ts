import { cut, widthOf } from './terminal-text.ts'

const ELLIPSIS = '…'
/** Signs of the start that stay when the middle has to be cut from the first sign that differs. */
const START = 4

/**
 * Names no wider than stated, the longer ones cut in the middle; where it can be, different names stay different: the
 * cut is put where the names are alike.
 * @param width columns, 8 or more
 */
export function shortNames(names: readonly string[], width: number): Map<string, string> {
  const short = new Map([...new Set(names)].map((name) => [name, middleCut(name, width, Math.ceil((width - 1) / 2))]))
  for (const alike of groupsOf(short)) {
    const best = cutsOf(alike, width)
    for (const [i, name] of alike.entries()) short.set(name, best[i])
  }
  return short
}

/** The names that were shortened to one text. */
function groupsOf(short: ReadonlyMap<string, string>): string[][] {
  const groups = new Map<string, string[]>()
  for (const [name, text] of short) groups.set(text, [...(groups.get(text) ?? []), name])
  return [...groups.values()].filter((names) => names.length > 1)
}

/** The cuts of names alike at both ends, at the place that keeps most of them apart. */
function cutsOf(names: readonly string[], width: number): string[] {
  const heads = Array.from({ length: width - 2 }, (_, head) => head + 1)
  const ways = [
    ...heads.map((head) => names.map((name) => middleCut(name, width, head))),
    names.map((name) => fromDifference(name, sharedStart(names), width)),
  ]
  return ways.reduce((best, way) => (new Set(way).size > new Set(best).size ? way : best))
}

/** "freeway-driv…day-1-ios-2": the start, so many columns of it, and the end. */
function middleCut(name: string, width: number, head: number): string {
  if (widthOf(name) <= width) return name
  return `${startOf(name, head)}${ELLIPSIS}${endOf(name, width - 1 - head)}`
}

/** "free…1-ios-2 and what f…": the start, and what follows from where the names differ. */
const fromDifference = (name: string, shared: number, width: number): string =>
  cut(`${startOf(name, START)}${ELLIPSIS}${[...name].slice(shared).join('')}`, width)

/** Signs that all names begin with. */
function sharedStart(names: readonly string[]): number {
  const [first, ...others] = names.map((name) => [...name])
  const differs = first.findIndex((sign, i) => others.some((other) => other[i] !== sign))
  return differs < 0 ? first.length : differs
}

const startOf = (name: string, columns: number): string => signsWithin([...name], columns).join('')

const endOf = (name: string, columns: number): string =>
  signsWithin([...name].reverse(), columns)
    .reverse()
    .join('')

/** The first signs that fit into so many columns. */
function signsWithin(signs: readonly string[], columns: number): string[] {
  let used = 0
  const over = signs.findIndex((sign) => {
    used += widthOf(sign)
    return used > columns
  })
  return over < 0 ? [...signs] : signs.slice(0, over)
}
