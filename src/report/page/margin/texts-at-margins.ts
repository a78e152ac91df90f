/** Where the margin stood in a text: a character for private use, which no font shows. */
const MARGIN = '\ue001'
const BEFORE = ['±', '± ', 'no more than ']

/** Which text a part of the page has from which margin on: the place of a margin, then a text's, and so forth. */
export type TextsOfParts = Record<string, number[]>

/** The text of a part at a margin's place; null for an unknown part. */
export function textAt(parts: TextsOfParts, part: string, place: number): number | null {
  const changes = parts[part] ?? []
  let found: number | null = null
  for (let i = 0; i < changes.length && changes[i] <= place; i += 2) found = changes[i + 1]
  return found
}

/** A text with a sign in place of its margin, so that it is the same at many. */
export const withoutMargin = (text: string, marginPct: number): string =>
  BEFORE.reduce((so, before) => so.replaceAll(`${before}${marginPct} %`, `${before}${MARGIN} %`), text)

/** The text that `withoutMargin` was given, at a margin. */
export const withMargin = (text: string, marginPct: number): string => text.replaceAll(MARGIN, String(marginPct))

/** Whether a text made by `withoutMargin` has a margin in it. */
export const dependsOnMargin = (text: string): boolean => text.includes(MARGIN)
