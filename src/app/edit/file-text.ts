import { decodeText } from '../../read/bytes.ts'
import { isGzip } from '../../read/gzip.ts'

/** Texts of contents by the contents themselves; a content never changes. */
const texts = new WeakMap<Blob, string | null>()

/** The text of a file's content once it was read; null where it is none that can be edited. */
export async function readText(content: Blob): Promise<string | null> {
  const known = texts.get(content)
  if (known !== undefined) return known
  const bytes = new Uint8Array(await content.arrayBuffer())
  const isBinary = isGzip(bytes) || (bytes[0] === 0x50 && bytes[1] === 0x4b)
  const text = isBinary ? null : (decodeText(bytes).value?.text ?? '')
  texts.set(content, text)
  return text
}

/** The same, where it was read before; undefined where it was not. */
export const knownText = (content: Blob): string | null | undefined => texts.get(content)

/** A content with a text, in UTF-8. */
export function contentOfText(text: string): Blob {
  const content = new Blob([text])
  texts.set(content, text)
  return content
}
