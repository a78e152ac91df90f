/** What stands before an XML document's content. */
export interface Prolog {
  /** The root element's name as written (`g:gpx`), null where there is none. */
  root: string | null
  hasDoctype: boolean
}

/** Finds the root element past the declaration, comments, processing instructions and a document type. */
export function prologOf(text: string): Prolog {
  let at = 0
  let hasDoctype = false
  for (;;) {
    while (at < text.length && (text.charCodeAt(at) <= 32 || text.charCodeAt(at) === 0xfeff)) at++
    if (text.startsWith('<?', at)) at = after(text, '?>', at + 2)
    else if (text.startsWith('<!--', at)) at = after(text, '-->', at + 4)
    else if (/^<!doctype/i.test(text.slice(at, at + 9))) {
      hasDoctype = true
      at = afterDoctype(text, at)
    } else {
      const root = /^<([\p{L}_][\p{L}\p{N}_.:-]*)/u.exec(text.slice(at, at + 200))?.[1] ?? null
      return { root, hasDoctype }
    }
  }
}

/** An element's name without its prefix. */
export const localName = (name: string): string => name.slice(name.indexOf(':') + 1)

function after(text: string, mark: string, from: number): number {
  const found = text.indexOf(mark, from)
  return found < 0 ? text.length : found + mark.length
}

/** The end of a document type, which may hold declarations between square brackets. */
function afterDoctype(text: string, from: number): number {
  const open = text.indexOf('[', from)
  const close = text.indexOf('>', from)
  if (open < 0 || open > close) return after(text, '>', from)
  const end = /\]\s*>/g
  end.lastIndex = open
  return end.test(text) ? end.lastIndex : text.length
}
