/**
 * How many lines end between two places: with LF, CR or both together, counted as one.
 * @source XML 1.0 (5th ed.), 2.11 End-of-Line Handling
 */
export function lineEndsIn(text: string, from: number, to: number): number {
  const piece = text.slice(from, to)
  let lines = 0
  for (let at = piece.indexOf('\n'); at >= 0; at = piece.indexOf('\n', at + 1)) lines++
  for (let at = piece.indexOf('\r'); at >= 0; at = piece.indexOf('\r', at + 1)) if (piece[at + 1] !== '\n') lines++
  return lines
}

/** Where the line begins that holds the character before a place. */
export function lineStartBefore(text: string, place: number): number {
  for (let at = place - 1; at >= 0; at--) {
    const code = text.charCodeAt(at)
    if (code === 10 || code === 13) return at + 1
  }
  return 0
}
