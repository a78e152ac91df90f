/** What a camera wrote of when, where and how a picture was taken. */
export interface Exif {
  /** By the camera's clock, `2026-05-03T10:20:30`. */
  clockTime: string | null
  /** From UTC to that clock, `+02:00`. */
  offset: string | null
  /** By the satellites, seconds since 1970 UTC. */
  gpsTime: number | null
  /** Degrees, north and east positive. */
  latitude: number | null
  longitude: number | null
  /** How it must be turned to stand upright, 1 (as it is) to 8. */
  orientation: number
}

export const NO_EXIF: Exif = {
  clockTime: null,
  offset: null,
  gpsTime: null,
  latitude: null,
  longitude: null,
  orientation: 1,
}

/** Where the values of a tag stand. */
interface Tag {
  type: number
  count: number
  at: number
}

interface Tiff {
  view: DataView
  little: boolean
}

/** Bytes of a value of each type that is read. */
const SIZES: Record<number, number> = { 2: 1, 3: 2, 4: 4, 5: 8 }
const [ASCII, SHORT, LONG, RATIONAL] = [2, 3, 4, 5]
const LONGEST_TEXT = 64
const ENTRY_BYTES = 12

/**
 * Reads time, place and orientation from an EXIF block. Each directory is read once and none leads on to another, so that
 * no damage makes this take long; what cannot be read is null.
 * @param block from its TIFF header on
 * @source CIPA DC-008-2023 (Exif 3.0), 4.6; TIFF revision 6.0, section 2
 */
export function readExif(block: Uint8Array): Exif {
  const view = new DataView(block.buffer, block.byteOffset, block.byteLength)
  if (view.byteLength < 8) return NO_EXIF
  const order = view.getUint16(0)
  if (order !== 0x4949 && order !== 0x4d4d) return NO_EXIF
  const tiff = { view, little: order === 0x4949 }
  if (view.getUint16(2, tiff.little) !== 42) return NO_EXIF
  const main = directory(tiff, view.getUint32(4, tiff.little))
  const photo = directory(tiff, whole(tiff, main.get(0x8769)))
  const gps = directory(tiff, whole(tiff, main.get(0x8825)))
  const orientation = whole(tiff, main.get(0x0112)) ?? 1
  const latitude = degrees(tiff, gps.get(2), textOf(tiff, gps.get(1)), 'NS')
  const longitude = degrees(tiff, gps.get(4), textOf(tiff, gps.get(3)), 'EW')
  const isPlaced = latitude !== null && longitude !== null
  return {
    clockTime: clockTime(textOf(tiff, photo.get(0x9003))),
    offset: offsetOf(textOf(tiff, photo.get(0x9011))),
    gpsTime: gpsTime(tiff, gps),
    latitude: isPlaced ? latitude : null,
    longitude: isPlaced ? longitude : null,
    orientation: orientation >= 1 && orientation <= 8 ? orientation : 1,
  }
}

function directory({ view, little }: Tiff, at: number | null): Map<number, Tag> {
  const tags = new Map<number, Tag>()
  if (at === null || at + 2 > view.byteLength) return tags
  const count = Math.min(view.getUint16(at, little), Math.floor((view.byteLength - at - 2) / ENTRY_BYTES))
  for (let i = 0; i < count; i++) {
    const entry = at + 2 + ENTRY_BYTES * i
    const tag = { type: view.getUint16(entry + 2, little), count: view.getUint32(entry + 4, little) }
    const bytes = (SIZES[tag.type] ?? Number.POSITIVE_INFINITY) * tag.count
    const from = bytes <= 4 ? entry + 8 : view.getUint32(entry + 8, little)
    if (from + bytes <= view.byteLength) tags.set(view.getUint16(entry, little), { ...tag, at: from })
  }
  return tags
}

function whole({ view, little }: Tiff, tag: Tag | undefined): number | null {
  if (!tag || tag.count < 1) return null
  if (tag.type === SHORT) return view.getUint16(tag.at, little)
  return tag.type === LONG ? view.getUint32(tag.at, little) : null
}

function textOf({ view }: Tiff, tag: Tag | undefined): string | null {
  if (!tag || tag.type !== ASCII || tag.count > LONGEST_TEXT) return null
  const codes = Array.from({ length: tag.count }, (_, i) => view.getUint8(tag.at + i))
  return String.fromCharCode(...codes)
    .split('\0')[0]
    .trim()
}

/** The first three fractions of a tag: degrees or hours, minutes, seconds. */
function three({ view, little }: Tiff, tag: Tag | undefined): number[] | null {
  if (!tag || tag.type !== RATIONAL || tag.count < 3) return null
  const values = [0, 8, 16].map((i) => view.getUint32(tag.at + i, little) / view.getUint32(tag.at + i + 4, little))
  return values.every(Number.isFinite) ? values : null
}

function degrees(tiff: Tiff, tag: Tag | undefined, side: string | null, sides: 'NS' | 'EW'): number | null {
  const values = three(tiff, tag)
  const sign = side === sides[0] ? 1 : side === sides[1] ? -1 : null
  if (values === null || sign === null) return null
  const value = values[0] + values[1] / 60 + values[2] / 3600
  return value <= (sides === 'NS' ? 90 : 180) ? sign * value : null
}

const CLOCK = /^(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)$/

/** A camera whose clock was never set writes zeros or blanks. */
function clockTime(text: string | null): string | null {
  const found = CLOCK.exec(text ?? '')
  if (!found) return null
  const time = `${found[1]}-${found[2]}-${found[3]}T${found[4]}`
  return Number.isNaN(Date.parse(`${time}Z`)) ? null : time
}

const offsetOf = (text: string | null): string | null => (/^[+-]\d\d:\d\d$/.test(text ?? '') ? text : null)

function gpsTime(tiff: Tiff, gps: Map<number, Tag>): number | null {
  const day = /^(\d{4}):(\d\d):(\d\d)$/.exec(textOf(tiff, gps.get(0x1d)) ?? '')
  const time = three(tiff, gps.get(7))
  if (!day || !time) return null
  const midnight = Date.parse(`${day[1]}-${day[2]}-${day[3]}T00:00:00Z`) / 1000
  const seconds = midnight + 3600 * time[0] + 60 * time[1] + time[2]
  return Number.isNaN(seconds) ? null : seconds
}
