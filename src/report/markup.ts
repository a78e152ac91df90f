import { cleaned } from '../base/names.ts'

/** Markup that is safe to put into a page as it is; texts become it only through `html`. */
export interface Markup {
  readonly markup: string
}

type Part = Markup | string | number | null | readonly Part[]

const ENTITIES: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' }

/** Text as markup, fit for elements and for attributes in quotation marks; control characters become visible signs. */
export function escaped(text: string): string {
  return cleaned(text).replace(/[&<>"']/g, (sign) => ENTITIES[sign])
}

/** A template for markup: every text put in is escaped, so that forgetting to is not possible. */
export function html(strings: TemplateStringsArray, ...parts: Part[]): Markup {
  return { markup: strings.reduce((whole, text, i) => whole + markupOf(parts[i - 1]) + text) }
}

function markupOf(part: Part): string {
  if (part === null) return ''
  if (typeof part === 'string') return escaped(part)
  if (typeof part === 'number') return String(part)
  if ('markup' in part) return part.markup
  return part.map(markupOf).join('')
}

/** A table that can be scrolled sideways by touch and by keyboard where the window is narrow. */
export function scrolled(label: string, table: Markup): Markup {
  return html`<div class="scroll" role="group" aria-label="${label}" tabindex="0">${table}</div>\n`
}

/** The button that copies the table beside it, shown by the script that does it. */
export function copyButton(label: string): Markup {
  return html`<p class="copy-table script-only"><button type="button" data-copy-table="">Copy the table <span class="hidden">“${label}”</span></button> <span class="copied" role="status"></span></p>\n`
}

/** A table of figures that can be scrolled and copied. */
export const copied = (label: string, table: Markup): Markup => html`${scrolled(label, table)}${copyButton(label)}`
