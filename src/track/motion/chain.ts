/** How many pieces back a piece may be joined: longer runs of wild points are cut, not searched. */
const LOOK_BACK = 100

/**
 * Which of `count` items in a row belong together: the heaviest chain, where each item weighs 1 and each join of two
 * items that do not `fit` costs `misfitCost`. Short runs that fit neither side fall out whatever their number; a lasting
 * change costs one join and stays. Returns 1 for kept, 0 for thrown out.
 * @param fits whether item j may follow item i (i < j, everything between them left out)
 */
export function heaviestChain(count: number, misfitCost: number, fits: (i: number, j: number) => boolean): Uint8Array {
  const starts = pieceStarts(count, fits)
  const pieces = starts.length
  const endOf = (piece: number) => (piece + 1 < pieces ? starts[piece + 1] : count) - 1
  const best = new Float64Array(pieces)
  const before = new Int32Array(pieces).fill(-1)
  let last = 0
  for (let p = 0; p < pieces; p++) {
    let most = 0
    for (let q = p - 1; q >= Math.max(0, p - LOOK_BACK); q--) {
      const worth = best[q] - (fits(endOf(q), starts[p]) ? 0 : misfitCost)
      if (worth > most) {
        most = worth
        before[p] = q
      }
    }
    best[p] = most + endOf(p) - starts[p] + 1
    if (best[p] > best[last]) last = p
  }
  const keep = new Uint8Array(count)
  for (let p = pieces > 0 ? last : -1; p >= 0; p = before[p]) keep.fill(1, starts[p], endOf(p) + 1)
  return keep
}

/** The first item of each piece within which neighbours fit. */
function pieceStarts(count: number, fits: (i: number, j: number) => boolean): number[] {
  const starts: number[] = count > 0 ? [0] : []
  for (let i = 1; i < count; i++) if (!fits(i - 1, i)) starts.push(i)
  return starts
}
