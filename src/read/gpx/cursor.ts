import type { SaxesParser } from 'saxes'
import type { TrackColumns } from '../types.ts'
import { type CodeWindow, noWindow } from './codes.ts'
import { emptyColumns, type GrowingColumns } from './columns.ts'
import { lineStartBefore } from './lines.ts'
import { type Minute, noMinute } from './minute.ts'
import { type Namespaces, noNamespaces } from './namespaces.ts'
import { noTally, type Tally } from './values.ts'

/** All that one pass over a GPX file collects. */
export interface GpxScan {
  /** Name of the root element as written; null before it was met. */
  root: string | null
  /** The root's start tag as written. */
  rootTag: string
  version: string | null
  creator: string | null
  tracks: TrackColumns[]
  /** All `<trk>`, those without points included. */
  trackCount: number
  routeCount: number
  waypointCount: number
  /** Each `<wpt>` element as written. */
  waypointXml: string[]
  /** A document type declaration, with the name that it declares. */
  doctype: { line: number; name: string } | null
  /** The first place where the file is not well-formed; nothing is read from there on. */
  broken: { code: 'xml-not-well-formed' | 'xml-too-deep'; line: number; column: number; reason: string } | null
  points: number
  unreadable: { position: Tally; elevation: Tally; time: Tally }
  missing: { elevation: Tally; time: Tally }
  decimalCommas: Tally
  /** Faults of single characters, passed over. */
  tolerated: Tally
}

/** The element that contains what is read next; `leaf` one whose text is wanted. */
export type Surroundings = 'document' | 'gpx' | 'trk' | 'trkseg' | 'trkpt'
export type Leaf = 'name' | 'ele' | 'time'

export interface Cursor {
  scan: GpxScan
  parser: SaxesParser
  text: string
  /** What `readPlainPoints` has before it, and the minute of the last time that it read. */
  codes: CodeWindow
  minute: Minute
  /** What was read by hand and never came before the parser. */
  passedOver: { characters: number; lines: number }
  /** Where the last start or end tag ended, in the text. */
  lastTagEnd: number
  namespaces: Namespaces
  place: Surroundings
  leaf: Leaf | null
  leafText: string
  /** How many elements deep we are in something that is not read; 0 when not. */
  skipped: number
  waypointStart: number
  track: GrowingColumns
  trackName: string | null
  pointLine: number
  latitude: number
  longitude: number
  elevationText: string | null
  timeText: string | null
  /** What stands in the point's element of speed, of GPX 1.0 or of any extension; null where none was met. */
  speedText: string | null
  inSpeed: boolean
  /** The current point's coordinates have decimal commas, so its elevation may have one. */
  commas: boolean
}

export function newCursor(text: string, parser: SaxesParser): Cursor {
  const scan: GpxScan = {
    root: null,
    rootTag: '',
    version: null,
    creator: null,
    tracks: [],
    trackCount: 0,
    routeCount: 0,
    waypointCount: 0,
    waypointXml: [],
    doctype: null,
    broken: null,
    points: 0,
    unreadable: { position: noTally(), elevation: noTally(), time: noTally() },
    missing: { elevation: noTally(), time: noTally() },
    decimalCommas: noTally(),
    tolerated: noTally(),
  }
  return {
    scan,
    parser,
    text,
    codes: noWindow(),
    minute: noMinute(),
    passedOver: { characters: 0, lines: 0 },
    lastTagEnd: -1,
    namespaces: noNamespaces(),
    place: 'document',
    leaf: null,
    leafText: '',
    skipped: 0,
    waypointStart: -1,
    track: emptyColumns(),
    trackName: null,
    pointLine: 0,
    latitude: Number.NaN,
    longitude: Number.NaN,
    elevationText: null,
    timeText: null,
    speedText: null,
    inSpeed: false,
    commas: false,
  }
}

/** The parser's place in the text. */
export const positionIn = ({ parser, passedOver }: Cursor): number => parser.position + passedOver.characters

/** The parser's line in the text, from 1. */
export const lineIn = ({ parser, passedOver }: Cursor): number => parser.line + passedOver.lines

/** The parser's column in the text, in characters from the last line end. */
export function columnIn(cursor: Cursor): number {
  if (cursor.passedOver.characters === 0) return cursor.parser.column
  const position = positionIn(cursor)
  const lineStart = lineStartBefore(cursor.text, position)
  return Array.from(cursor.text.slice(lineStart, position)).length
}
