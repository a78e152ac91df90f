import { square } from '../base/arithmetic.ts'
import { isFetchedList } from './fetched-list.ts'
import { isFillsHeader } from './fills-table.ts'
import { headerNames } from './table.ts'
import { type WeatherKind, weatherKindOf } from './weather/read.ts'

export type Kind =
  | 'gpx'
  | 'kml'
  | WeatherKind
  | 'runs-table'
  | 'fills-table'
  | 'campaign'
  | 'fetched-list'
  | 'html'
  | 'unrecognised'

/** How much of a file is looked at, in characters; the root of an XML file is found however much stands before it. */
const LOOK_AT = 16_384

/**
 * Tells what a text file is from its content alone; names and extensions say nothing.
 * @param text the decoded file
 */
export function kindOf(text: string): Kind {
  const start = text.search(/[^\s\ufeff]/)
  if (start < 0) return 'unrecognised'
  const head = text.slice(start, start + LOOK_AT)
  if (head.startsWith('<')) return markupKind(text)
  if (isFetchedList(head)) return 'fetched-list'
  const names = headerNames(head)
  if (names.includes('track')) return 'runs-table'
  if (isFillsHeader(names)) return 'fills-table'
  if (CAMPAIGN_KEY.test(head)) return 'campaign'
  return weatherKindOf(head) ?? 'unrecognised'
}

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

function markupKind(text: string): Kind {
  const local = localName(prologOf(text).root ?? '')
  if (local === 'gpx' || local === 'kml') return local
  const isPage = /^(html|head|body)$/i.test(local) || /<!doctype\s+html/i.test(text.slice(0, LOOK_AT))
  return isPage ? 'html' : 'unrecognised'
}

/** A key of the campaign file at the left edge, or in quotation marks at the begin of a line, as in JSON. */
const CAMPAIGN_KEY =
  /^(?:\{?[ \t]*["']|["']?)(?:title|vehicle|setups|baseline|margin_pct|stations|gates|private|fuel|terrain|limits|time_zone)["']?[ \t]*:(?:\s|$)/m

/**
 * Whether a file is a picture, by its first bytes: JPEG, PNG, GIF, WebP, or HEIF and AVIF as telephones write them.
 * @source ISO/IEC 10918-1 (start of image), PNG specification 3rd edition §5.2, GIF89a, RFC 9649 §2.3, ISO/IEC 23008-12
 */
export function isPicture(bytes: Uint8Array): boolean {
  const start = String.fromCharCode(...bytes.subarray(0, 12))
  if (['\xff\xd8\xff', '\x89PNG\r\n\x1a\n', 'GIF87a', 'GIF89a'].some((mark) => start.startsWith(mark))) return true
  if (start.startsWith('RIFF')) return start.endsWith('WEBP')
  return start.slice(4, 8) === 'ftyp' && ['heic', 'heix', 'hevc', 'mif1', 'avif'].includes(start.slice(8))
}

/**
 * Whether a file is a terrain tile: a TIFF (told by its magic number) or an SRTM height file, which is nothing but
 * 1201 x 1201 or 3601 x 3601 two-byte heights and is told by that length and by the corner in its name.
 * @param name file name, with or without folders
 * @source TIFF revision 6.0, section 2, and BigTIFF; USGS, SRTM Topography (documentation of .hgt files)
 */
export function isElevationTile(bytes: Uint8Array, name: string): boolean {
  const isHgt = bytes.length === 2 * square(1201) || bytes.length === 2 * square(3601)
  if (isHgt && /(^|[/\\])[NS]\d{2}[EW]\d{3}[^/\\]*$/i.test(name)) return true
  const [first, second, third, fourth] = bytes
  const littleEndian = first === 0x49 && second === 0x49 && (third === 42 || third === 43) && fourth === 0
  const bigEndian = first === 0x4d && second === 0x4d && third === 0 && (fourth === 42 || fourth === 43)
  return littleEndian || bigEndian
}
