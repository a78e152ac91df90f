const YES = /^(yes|y|true|1)$/i
const NO = /^(no|n|false|0)$/i

/** What a cell answers; null for an empty cell and for anything else. */
export function yesOrNo(cell: string | null): 'yes' | 'no' | null {
  if (cell === null) return null
  if (YES.test(cell.trim())) return 'yes'
  return NO.test(cell.trim()) ? 'no' : null
}
