import { failed, found, type Outcome, type Problem } from '../../../base/problem.ts'
import type { LoggedColumns, TrackColumns, TrackFile } from '../../types.ts'
import { type GrowingValues, growing, pushed, trimmed } from '../growing.ts'
import { binaryTrackReader } from '../reader.ts'
import { decodeFit, type FitEnd, isFit } from './decode.ts'

/** Message and field numbers of the FIT profile. @source fit-file-parser (MIT), its table of messages */
const RECORD = 20
const DEVELOPER_ID = 207
const F = {
  latitude: 0,
  longitude: 1,
  altitude: 2,
  distance: 5,
  speed: 6,
  power: 7,
  enhancedSpeed: 73,
  enhancedAltitude: 78,
  timestamp: 253,
}

/** Seconds from 1970 to 1989-12-31T00:00:00Z, from which FIT counts. */
const FIT_EPOCH_S = 631_065_600
const DEGREES_PER_SEMICIRCLE = 180 / 2147483648
/** More bytes than a recording of ten points a second for a week has. */
const LARGEST_BYTES = 128e6

const COLUMNS = ['time', 'latitude', 'longitude', 'elevation', 'distance', 'speed', 'power'] as const
type Columns = Record<(typeof COLUMNS)[number], GrowingValues>

/** Reads the record messages of a FIT file as one recording. Never throws. */
export function readFit(bytes: Uint8Array): Outcome<TrackFile> {
  if (bytes.length > LARGEST_BYTES) {
    const message = `the FIT file has ${Math.round(bytes.length / 1e6)} million bytes, expected at most ${LARGEST_BYTES / 1e6} million`
    return failed({ code: 'file-too-large', message, hint: 'Export the recording as GPX, split by days.' })
  }
  const columns = Object.fromEntries(COLUMNS.map((name) => [name, growing()])) as Columns
  let messages = 0
  const end = decodeFit(bytes, {
    message: (number, fields) => {
      if (number !== DEVELOPER_ID) messages++
      if (number === RECORD) addRecord(columns, fields)
    },
  })
  const count = columns.time.count
  if (end.brokenAt !== null && count < 2) {
    const message = `${end.reason} (byte ${end.brokenAt}), and no two points stand before that place; expected a whole FIT file`
    return failed({ code: 'fit-damaged', message, hint: 'Copy the file from the device again.' })
  }
  const tracks = count > 0 ? [trackOf(columns)] : []
  const file: TrackFile = { format: 'fit', version: null, creator: null, tracks, waypoints: [], routeCount: 0 }
  return found(file, problemsOf(end, count, messages))
}

function addRecord(columns: Columns, fields: Map<number, number>): void {
  const of = (field: number): number => fields.get(field) ?? Number.NaN
  const or = (a: number, b: number): number => (Number.isNaN(a) ? b : a)
  pushed(columns.time, of(F.timestamp) + FIT_EPOCH_S)
  pushed(columns.latitude, of(F.latitude) * DEGREES_PER_SEMICIRCLE)
  pushed(columns.longitude, of(F.longitude) * DEGREES_PER_SEMICIRCLE)
  pushed(columns.elevation, or(of(F.enhancedAltitude), of(F.altitude)) / 5 - 500)
  pushed(columns.distance, of(F.distance) / 100)
  pushed(columns.speed, or(of(F.enhancedSpeed), of(F.speed)) / 1000)
  pushed(columns.power, of(F.power))
}

function trackOf(columns: Columns): TrackColumns {
  const logged: LoggedColumns = {}
  const add = (quantity: keyof LoggedColumns, column: GrowingValues, name: string): void => {
    const values = trimmed(column)
    if (values.some((value) => !Number.isNaN(value))) logged[quantity] = { values, name }
  }
  add('speedMps', columns.speed, 'speed')
  add('powerW', columns.power, 'power')
  add('odometerM', columns.distance, 'distance')
  return {
    name: null,
    index: 1,
    time: trimmed(columns.time),
    latitude: trimmed(columns.latitude),
    longitude: trimmed(columns.longitude),
    elevation: trimmed(columns.elevation),
    logged,
    segmentStart: Uint32Array.of(0),
    zonelessTimes: 0,
  }
}

function problemsOf({ brokenAt, reason, wrongChecksums }: FitEnd, points: number, messages: number): Problem[] {
  const warning = (code: string, message: string, hint: string): Problem => ({
    code,
    severity: 'warning',
    message,
    hint,
  })
  return [
    ...(brokenAt === null
      ? []
      : [
          warning(
            'fit-damaged',
            `${reason} (byte ${brokenAt}); what was read before is kept: ${points} points`,
            'Copy the file from the device again.',
          ),
        ]),
    ...(wrongChecksums === 0
      ? []
      : [
          warning(
            'fit-checksum',
            'the checksum at the end of the file does not fit its bytes: some of them are wrong; all points are used',
            'Copy the file from the device again.',
          ),
        ]),
    ...(points > 0
      ? []
      : [
          warning(
            'no-tracks',
            `the file holds no recorded points; it has ${messages} messages of other kinds`,
            'Take the file of the activity, not one of settings or a course.',
          ),
        ]),
  ]
}

export const fitReader = binaryTrackReader({
  kind: 'fit',
  recognises: isFit,
  read: readFit,
  format: {
    name: 'FIT',
    holds:
      'the record messages, with speed, distance and power where they are written; several recordings in one file are one. Told by its bytes.',
  },
})
