/**
 * The known word that a misspelt one most likely stands for: the fewest letters changed, added, left out or exchanged,
 * at most a third of them; the same parts in another order count as the same word. Of two that are as near, the one that
 * begins like it: people leave out the end of a name.
 * @returns null when none is near enough
 */
export function nearestWord(written: string, known: readonly string[]): string | null {
  const form = comparable(written)
  let best: string | null = null
  let fewest = Number.POSITIVE_INFINITY
  let longest = 0
  for (const word of known) {
    const other = comparable(word)
    const edits = partsOf(form) === partsOf(other) ? 0 : editDistance(form, other)
    if (edits <= Math.max(1, Math.floor(Math.max(form.length, other.length) / 3)) && edits <= fewest) {
      const alike = sameBeginning(form, other)
      if (edits === fewest && alike <= longest) continue
      best = word
      fewest = edits
      longest = alike
    }
  }
  return best
}

function sameBeginning(a: string, b: string): number {
  let count = 0
  while (count < a.length && a[count] === b[count]) count++
  return count
}

const comparable = (word: string): string =>
  word
    .trim()
    .toLowerCase()
    .replace(/[\s-]+/g, '_')
    .slice(0, 60)
const partsOf = (word: string): string => word.split('_').sort().join('_')

/**
 * Optimal string alignment distance: changes, additions, omissions, and exchanges of neighbours each count one.
 * @source Damerau, "A technique for computer detection and correction of spelling errors", CACM 7 (1964) 171 (the four errors)
 */
function editDistance(a: string, b: string): number {
  let beforeLast: number[] = []
  let last = Array.from({ length: b.length + 1 }, (_, j) => j)
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    for (let j = 1; j <= b.length; j++) {
      const changed = last[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1)
      row[j] = Math.min(changed, last[j] + 1, row[j - 1] + 1)
      const exchanged = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]
      if (exchanged) row[j] = Math.min(row[j], beforeLast[j - 2] + 1)
    }
    beforeLast = last
    last = row
  }
  return last[b.length]
}
