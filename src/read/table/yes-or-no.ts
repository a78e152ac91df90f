const YES = /^(yes|y|true|1|x|✓|j|ja|oui|sí|si)$/i
const NO = /^(no|n|false|0|nein|non)$/i

/** What a cell answers, as spreadsheets and people write it; null for an empty cell and for anything else. */
export function yesOrNo(cell: string | null): boolean | null {
  if (cell === null) return null
  if (YES.test(cell.trim())) return true
  return NO.test(cell.trim()) ? false : null
}

/** Whether a cell says that a road was wet, or dry; null where it says neither. */
export const wetOrDry = (cell: string | null): boolean | null =>
  cell !== null && /^(wet|dry)$/i.test(cell.trim()) ? /^wet$/i.test(cell.trim()) : yesOrNo(cell)
