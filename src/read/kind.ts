import { square } from '../base/arithmetic.ts'
import { isFetchedList } from './fetched-list.ts'
import { localName, prologOf } from './prolog.ts'
import { isFillsHeader } from './runs/fills-columns.ts'
import { ourHeaderNames } from './table/table.ts'
import { isSpeedLogTable } from './tracks/csv-log/recognised.ts'
import { type TrackKind, trackKindOf } from './tracks/read.ts'
import { type WeatherKind, weatherKindOf } from './weather/read.ts'

export type Kind =
  | TrackKind
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
  if (head.startsWith('<')) return weatherKindOf(head, 'xml') ?? markupKind(text)
  if (isFetchedList(head)) return 'fetched-list'
  const json = /^[[{]/.test(head) ? weatherKindOf(head, 'json') : null
  if (json) return json
  const names = ourHeaderNames(head)
  if (names.includes('track') || isOfDrivesAtTimes(names) || isOfTwoVehicles(names)) return 'runs-table'
  const track = trackKindOf({ head, root: null })
  if (track !== null) return track
  if (isOfDatedDrives(names)) return 'runs-table'
  if (isFillsHeader(names)) return 'fills-table'
  if (CAMPAIGN_KEY.test(head)) return 'campaign'
  return weatherKindOf(head) ?? (isSpeedLogTable(head) ? 'csv-log' : 'unrecognised')
}

/** Rows that say when a drive began and ended, and what was fitted: they need name no track. */
const isOfDrivesAtTimes = (names: readonly string[]): boolean =>
  names.includes('from') && names.includes('to') && names.includes('setup')

/** Rows that say which vehicle drove, and which is the control vehicle: they need name no track. */
const isOfTwoVehicles = (names: readonly string[]): boolean => names.includes('vehicle') && names.includes('control')

/** Columns that a row has of a drive and not of a fill, and the other way round. Common practice, no source. */
const ONLY_OF_A_DRIVE =
  /^(?:fill_group|exclude|engine_off|without|split|test_vehicle|(?:trip_computer|tyre_pressure|payload|gauge_mark|obd_fuel|accessories)_.+)$/
const ONLY_OF_A_FILL = /^(?:full|partial|missed|pump|price)$/

/** Rows with a date and what a fuel log does not have: drives, told by when they began. */
function isOfDatedDrives(names: readonly string[]): boolean {
  if (!['date', 'time', 'time_utc'].some((name) => names.includes(name))) return false
  if (names.some((name) => ONLY_OF_A_FILL.test(name))) return false
  const ofDrives = names.some((name) => ONLY_OF_A_DRIVE.test(name))
  const consumption = names.some((name) => /^consumption_/.test(name))
  if (ofDrives && (consumption || isFillsHeader(names))) return true
  return consumption && names.includes('setup') && !names.some((name) => /^(?:fuel|energy)_(?!temperature)/.test(name))
}

function markupKind(text: string): Kind {
  const local = localName(prologOf(text).root ?? '')
  const track = trackKindOf({ head: text.slice(0, LOOK_AT), root: local })
  if (track !== null) return track
  const isPage = /^(html|head|body)$/i.test(local) || /<!doctype\s+html/i.test(text.slice(0, LOOK_AT))
  return isPage ? 'html' : 'unrecognised'
}

/** A key of the campaign file at the left edge, or in quotation marks at the begin of a line, as in JSON. */
const CAMPAIGN_KEY =
  /^(?:\{?[ \t]*["']|["']?)(?:title|vehicle|setups|baseline|margin_pct|stations|gates|place|private|private_ends_radius_m|coast_downs|exchanged_positions|fuel|terrain|limits|time_zone)["']?[ \t]*:(?:\s|$)/m

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
  if (isHgt && /(^|[/\\#])[NS]\d{2}[EW]\d{3}[^/\\]*$/i.test(name)) return true
  const [first, second, third, fourth] = bytes
  const littleEndian = first === 0x49 && second === 0x49 && (third === 42 || third === 43) && fourth === 0
  const bigEndian = first === 0x4d && second === 0x4d && third === 0 && (fourth === 42 || fourth === 43)
  return littleEndian || bigEndian
}
