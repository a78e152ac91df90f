import { cleaned } from '../base/names.ts'
import { plainText, type Sentence } from '../base/sentence.ts'

const ENTITIES: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;' }

/**
 * A text that Markdown shows as it is where a line begins: no markup, link, image, mention, heading or list comes of it.
 * Signs that mark nothing where they stand stay without a backslash: `7.08`, `= comparable`, `a_b`.
 * @source CommonMark 0.31.2, 2.4 (backslash escapes), 2.5 (entities), 4.2 and 4.3 (headings), 5.2 (list items);
 *   GitHub Flavored Markdown 0.29, 4.10 (tables), 6.9 (autolinks)
 */
export const markdownText = (text: string): string =>
  inlineText(text)
    .replace(/^(\s*)(#|=+\s*$|[-+](?=[\s-]|$))/, '$1\\$2')
    .replace(/^(\s*\d{1,9})([.)])(?=\s|$)/, '$1\\$2')

/** The same within a line, as in a cell of a table. */
function inlineText(text: string): string {
  return cleaned(text)
    .replace(/[&<>]/g, (sign) => ENTITIES[sign])
    .replace(/[\\`*[\]|~$^]/g, '\\$&')
    .replace(/(?<![\p{L}\p{N}_])_+|_+(?![\p{L}\p{N}_])/gu, (signs) => signs.replaceAll('_', '\\_'))
    .replace(/!(?=\\\[)/g, '\\!')
    .replace(/:(?=\/\/)/g, '\\:')
    .replace(/\bwww\./gi, (www) => `${www.slice(0, 3)}\\.`)
    .replace(/@(?=[\p{L}\p{N}])/gu, '@&#8203;')
}

export interface MarkdownColumn<T> {
  header: string
  align: 'left' | 'right'
  cell: (row: T, index: number) => string
}

/** A table, its cells made harmless; ends with a line end. */
export function markdownTable<T>(columns: readonly MarkdownColumn<T>[], rows: readonly T[]): string {
  const line = (cells: string[]): string => `| ${cells.join(' | ')} |\n`
  return [
    line(columns.map(({ header }) => inlineText(header))),
    line(columns.map(({ align }) => (align === 'right' ? '---:' : '---'))),
    ...rows.map((row, index) => line(columns.map(({ cell }) => inlineText(cell(row, index))))),
  ].join('')
}

/** A sentence that Markdown shows as it is, in SI. */
export const markdownSentence = (sentence: Sentence): string => markdownText(plainText(sentence))

/** A list, its items made harmless; ends with a line end. */
export const markdownList = (items: readonly (string | Sentence)[]): string =>
  items.map((item) => `- ${typeof item === 'string' ? markdownText(item) : markdownSentence(item)}\n`).join('')
