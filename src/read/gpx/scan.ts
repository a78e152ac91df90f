import { SaxesParser, type SaxesTagPlain } from 'saxes'
import { localName } from '../prolog.ts'
import {
  type Cursor,
  columnIn,
  type GpxScan,
  type Leaf,
  lineIn,
  newCursor,
  positionIn,
  type Surroundings,
} from './cursor.ts'
import { lineEndsIn } from './lines.ts'
import { gpxName, leave } from './namespaces.ts'
import { readPlainPoints } from './plain-points.ts'
import { beginPoint, beginTrack, beginTrackSegment, endPoint, endTrack } from './points.ts'
import { ownText, type Tally, tally } from './values.ts'

const CHUNK = 65_536

/** The parser keeps every open element in memory, and says of each that it was not closed. */
const MOST_DEPTH = 50_000

/** An ampersand that begins no reference: the parser would take all up to the next semicolon, tags too, for its name. */
const BARE_AMPERSAND = /&(?!(?:#\d+|#[xX][\da-fA-F]+|[A-Za-z_][\w.-]*);)/g

/** Reads a GPX text in one streaming pass; entities are never expanded, a document type ends the reading. */
export function scanGpx(written: string): GpxScan {
  const text = written.includes('&') ? written.replace(BARE_AMPERSAND, '&amp;') : written
  const parser = new SaxesParser()
  const cursor = newCursor(text, parser)
  const { scan } = cursor
  tallyBareAmpersands(scan.tolerated, written, text)
  const live = () => scan.broken === null && scan.doctype === null
  // Not by its error handler: for that the parser makes an Error of each fault, and a damaged file has one in every byte.
  parser.fail = (message) => {
    if (live()) onFault(cursor, message)
    return parser
  }
  parser.on('doctype', (declared) => {
    if (live()) scan.doctype = { line: lineIn(cursor), name: ownText(declared.trim().slice(0, 40)) }
  })
  parser.on('opentag', (tag) => live() && onOpen(cursor, tag))
  parser.on('closetag', (tag) => live() && onClose(cursor, tag))
  const onText = (piece: string) => {
    if (cursor.inSpeed) cursor.speedText += piece
    else if (cursor.leaf !== null && cursor.skipped === 0) cursor.leafText += piece
  }
  parser.on('text', onText)
  parser.on('cdata', onText)
  readThrough(cursor, live)
  if (live()) parser.close()
  if (cursor.place !== 'document' && cursor.place !== 'gpx') endTrack(cursor)
  return scan
}

/**
 * Hands the text to the parser in pieces. A piece ends where plain points may begin, right behind the start of a segment
 * or the end of a point; as long as such points are found they are read by hand, and where none are, pieces grow.
 */
function readThrough(cursor: Cursor, live: () => boolean): void {
  const { text, parser, passedOver } = cursor
  let at = 0
  let least = 0
  let endsAtMark = false
  while (at < text.length && live()) {
    // Directly inside a segment: a tag ended right here, so this is no comment or the like that holds the letters of one.
    if (cursor.place === 'trkseg' && cursor.skipped === 0 && cursor.lastTagEnd === at) {
      const end = readPlainPoints(cursor, at)
      least = end > at ? 0 : longer(least)
      passedOver.characters += end - at
      passedOver.lines += lineEndsIn(text, at, end)
      at = end
    } else if (endsAtMark) {
      // The letters of a tag where none is read: a million of them in a comment must not make a million pieces.
      least = longer(least)
    }
    const next = pieceEnd(text, at, least)
    parser.write(text.slice(at, next))
    endsAtMark = next - at < CHUNK
    at = next
  }
}

/** Longer pieces, and yet places where plain points may begin are found again. */
const longer = (least: number): number => Math.min(CHUNK >> 1, 2 * least + 256)

function pieceEnd(text: string, at: number, least: number): number {
  const most = Math.min(text.length, at + CHUNK)
  const piece = text.slice(at + least, most)
  const ends = ['<trkseg>', '</trkpt>'].map((tag) => ({ tag, place: piece.indexOf(tag) })).filter((e) => e.place >= 0)
  if (ends.length === 0) return most
  const first = ends.reduce((a, b) => (b.place < a.place ? b : a))
  return at + least + first.place + first.tag.length
}

/** Faults after which saxes finds its way again and no element can be lost; all others end the reading. */
const HARMLESS = /^(undefined entity\.|malformed character entity\.|(the|an) XML declaration must )/
const DISALLOWED = 'disallowed character.'

function onFault(cursor: Cursor, message: string): void {
  const { scan } = cursor
  if (message === DISALLOWED) {
    if (scan.tolerated.count === 0)
      tally(scan.tolerated, lineIn(cursor), `disallowed character ${lastCharacter(cursor)}`)
    else scan.tolerated.count++
    return
  }
  const reason = message.replace(/\.$/, '')
  if (HARMLESS.test(message)) tally(scan.tolerated, lineIn(cursor), reason)
  else breakOff(cursor, 'xml-not-well-formed', ownText(reason))
}

/** The character before the parser's place, by its number: it has no sign of its own that could be shown. */
function lastCharacter(cursor: Cursor): string {
  const code = cursor.text.charCodeAt(positionIn(cursor) - 1)
  return `U+${code.toString(16).toUpperCase().padStart(4, '0')}`
}

function breakOff(cursor: Cursor, code: 'xml-not-well-formed' | 'xml-too-deep', reason: string): void {
  cursor.scan.broken = { code, line: lineIn(cursor), column: columnIn(cursor), reason }
}

function tallyBareAmpersands(tolerated: Tally, written: string, mended: string): void {
  const count = (mended.length - written.length) / 'amp;'.length
  if (count === 0) return
  const at = written.search(BARE_AMPERSAND)
  tally(tolerated, lineEndsIn(written, 0, at) + 1, 'an ampersand that should be written &amp;')
  tolerated.count += count - 1
}

function onOpen(cursor: Cursor, tag: SaxesTagPlain): void {
  cursor.lastTagEnd = positionIn(cursor)
  const inside = cursor.skipped > 0 || cursor.leaf !== null
  if (
    cursor.place === 'trkpt' &&
    cursor.speedText === null &&
    cursor.leaf === null &&
    localName(tag.name) === 'speed'
  ) {
    cursor.inSpeed = true
    cursor.speedText = ''
  }
  if (inside || !enter(cursor, tag, gpxName(cursor.namespaces, tag))) cursor.skipped++
  if (cursor.skipped > MOST_DEPTH)
    breakOff(cursor, 'xml-too-deep', `its elements are nested more than ${MOST_DEPTH} deep`)
}

/** Begins what an element means in the place where it stands; false when it means nothing there. */
function enter(cursor: Cursor, tag: SaxesTagPlain, name: string): boolean {
  switch (cursor.place) {
    case 'trkpt':
      return (name === 'ele' || name === 'time') && beginLeaf(cursor, name)
    case 'trkseg':
      return name === 'trkpt' && beginPoint(cursor, tag)
    case 'trk':
      if (name === 'name') return beginLeaf(cursor, name)
      return name === 'trkseg' && beginTrackSegment(cursor)
    case 'gpx':
      return name === 'trk' ? beginTrack(cursor) : beginOther(cursor, name)
    case 'document':
      return beginRoot(cursor, tag, name)
  }
}

function onClose(cursor: Cursor, tag: SaxesTagPlain): void {
  cursor.lastTagEnd = positionIn(cursor)
  cursor.inSpeed = false
  leave(cursor.namespaces, tag)
  if (cursor.skipped > 0) {
    cursor.skipped--
    if (cursor.skipped === 0 && cursor.waypointStart >= 0) endWaypoint(cursor)
  } else if (cursor.leaf !== null) {
    endLeaf(cursor)
  } else {
    if (cursor.place === 'trkpt') endPoint(cursor)
    else if (cursor.place === 'trk') endTrack(cursor)
    cursor.place = AROUND[cursor.place]
  }
}

/** The place that one is in again after the end of a place. */
const AROUND: Record<Surroundings, Surroundings> = {
  trkpt: 'trkseg',
  trkseg: 'trk',
  trk: 'gpx',
  gpx: 'document',
  document: 'document',
}

/** Where the tag that was just read begins: `<` cannot stand inside a tag. */
const tagStart = (cursor: Cursor): number => cursor.text.lastIndexOf('<', positionIn(cursor) - 1)

function beginRoot(cursor: Cursor, tag: SaxesTagPlain, name: string): boolean {
  const { scan } = cursor
  scan.root = ownText(tag.name.slice(0, LONGEST_NAME))
  if (name !== 'gpx') return false
  scan.rootTag = ownText(cursor.text.slice(tagStart(cursor), positionIn(cursor)))
  scan.version = ownAttribute(tag, 'version')
  scan.creator = ownAttribute(tag, 'creator')
  cursor.place = 'gpx'
  return true
}

/** What is told of a file in its own words is told in so many characters at most. */
const LONGEST_NAME = 200

function ownAttribute(tag: SaxesTagPlain, name: string): string | null {
  const value = tag.attributes[name]
  return value === undefined ? null : ownText(value.slice(0, LONGEST_NAME))
}

/** Routes are counted; waypoints are cut out for a reader of their own. Neither is entered. */
function beginOther(cursor: Cursor, name: string): false {
  if (name === 'rte') cursor.scan.routeCount++
  if (name === 'wpt') {
    cursor.scan.waypointCount++
    cursor.waypointStart = tagStart(cursor)
  }
  return false
}

function endWaypoint(cursor: Cursor): void {
  cursor.scan.waypointXml.push(cursor.text.slice(cursor.waypointStart, positionIn(cursor)))
  cursor.waypointStart = -1
}

function beginLeaf(cursor: Cursor, leaf: Leaf): true {
  cursor.leaf = leaf
  cursor.leafText = ''
  return true
}

/** Of several elements of one name in a point or track, the first counts. */
function endLeaf(cursor: Cursor): void {
  if (cursor.leaf === 'ele') cursor.elevationText ??= cursor.leafText
  else if (cursor.leaf === 'time') cursor.timeText ??= cursor.leafText
  else cursor.trackName ??= ownText(cursor.leafText.trim().slice(0, LONGEST_NAME)) || null
  cursor.leaf = null
}
