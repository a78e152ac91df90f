/** Margins that a reader of the page can choose beside the report's own, percent. */
const MARGINS_PCT = [
  ...Array.from({ length: 20 }, (_, i) => (i + 1) / 10),
  ...Array.from({ length: 10 }, (_, i) => (11 + i) / 5),
  ...Array.from({ length: 11 }, (_, i) => (9 + i) / 2),
]

/** The margins that a reader can choose, in ascending order, with the report's own among them. */
export const marginsFor = (ownPct: number): number[] => [...new Set([...MARGINS_PCT, ownPct])].sort((a, b) => a - b)

/** Scores that only rise, without decimals, as a text: how many are 0, then all up to the first 100. */
export function scoresText(scores: readonly number[]): string {
  const whole = scores.map((score) => Math.round(score))
  const zeros = whole.findIndex((score) => score > 0)
  if (zeros < 0) return String(whole.length)
  const end = whole.indexOf(100)
  return [zeros, ...whole.slice(zeros, end < 0 ? undefined : end + 1)].join(' ')
}

/** The score in such a text at a margin's place. */
export function scoreIn(text: string, place: number): number {
  const [zeros, ...risen] = text.split(' ').map(Number)
  return place < zeros ? 0 : (risen[place - zeros] ?? 100)
}
