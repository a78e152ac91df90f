import type { SaxesTagPlain } from 'saxes'
import { parseInstant } from '../instant.ts'
import { addPoint, beginSegment, emptyColumns, finishedTrack } from './columns.ts'
import { type Cursor, lineIn } from './cursor.ts'
import { commaDecimal, decimal, tally } from './values.ts'

export function beginTrack(cursor: Cursor): true {
  cursor.place = 'trk'
  cursor.track = emptyColumns()
  cursor.trackName = null
  cursor.scan.trackCount++
  return true
}

export function beginTrackSegment(cursor: Cursor): true {
  cursor.place = 'trkseg'
  beginSegment(cursor.track)
  return true
}

export function endTrack(cursor: Cursor): void {
  const { scan, track } = cursor
  scan.points += track.count
  if (track.count > 0) scan.tracks.push(finishedTrack(track, cursor.trackName, scan.trackCount))
}

export function beginPoint(cursor: Cursor, tag: SaxesTagPlain): true {
  cursor.place = 'trkpt'
  cursor.pointLine = lineIn(cursor)
  cursor.elevationText = null
  cursor.timeText = null
  cursor.speedText = null
  cursor.inSpeed = false
  const { lat, lon } = tag.attributes
  cursor.latitude = lat === undefined ? Number.NaN : decimal(lat)
  cursor.longitude = lon === undefined ? Number.NaN : decimal(lon)
  cursor.commas = false
  if (Number.isNaN(cursor.latitude) || Number.isNaN(cursor.longitude)) mendPosition(cursor, lat, lon)
  return true
}

function mendPosition(cursor: Cursor, lat: string | undefined, lon: string | undefined): void {
  const { scan, pointLine } = cursor
  if (Number.isNaN(cursor.latitude)) cursor.latitude = commaDecimal(lat ?? '')
  if (Number.isNaN(cursor.longitude)) cursor.longitude = commaDecimal(lon ?? '')
  const sample = `lat="${lat ?? ''}" lon="${lon ?? ''}"`
  cursor.commas = !Number.isNaN(cursor.latitude) && !Number.isNaN(cursor.longitude)
  tally(cursor.commas ? scan.decimalCommas : scan.unreadable.position, pointLine, sample)
}

export function endPoint(cursor: Cursor): void {
  addPoint(cursor.track, cursor.latitude, cursor.longitude, elevationOf(cursor), timeOf(cursor), speedOf(cursor))
}

/** Metres a second, as GPX 1.0 and the usual extension have it; what is no number is not recorded. */
const speedOf = ({ speedText }: Cursor): number => (speedText === null ? Number.NaN : decimal(speedText))

function elevationOf(cursor: Cursor): number {
  const { scan, pointLine, elevationText } = cursor
  if (elevationText === null || elevationText.trim() === '') {
    tally(scan.missing.elevation, pointLine, '')
    return Number.NaN
  }
  const value = decimal(elevationText)
  const mended = Number.isNaN(value) && cursor.commas ? commaDecimal(elevationText) : value
  if (Number.isNaN(mended)) tally(scan.unreadable.elevation, pointLine, elevationText.trim())
  return mended
}

function timeOf(cursor: Cursor): number {
  const { scan, pointLine, timeText } = cursor
  if (timeText === null || timeText.trim() === '') {
    tally(scan.missing.time, pointLine, '')
    return Number.NaN
  }
  const { seconds, zoneless } = parseInstant(timeText)
  if (Number.isNaN(seconds)) tally(scan.unreadable.time, pointLine, timeText.trim())
  else if (zoneless) cursor.track.zonelessTimes++
  return seconds
}
