import { DateTime } from 'luxon'
import type { Place } from '../../base/place.ts'
import type { Problem } from '../../base/problem.ts'
import { isoTime } from '../../base/time.ts'
import type { Picture } from '../../read/picture/picture.ts'
import type { FillRow } from '../../read/runs/rows.ts'
import type { Report } from '../../report/contract.ts'
import { stepM } from '../../track/geodesy.ts'
import type { CampaignInputs } from '../load/inputs.ts'
import type { MappedFile } from '../load/map-file.ts'
import { photoPath, picturesOf } from '../load/photos.ts'
import type { DividedRecording, Run } from '../load/runs.ts'
import type { Hidden } from './privacy.ts'

type Photo = Report['photos'][number]
type PhotoTime = { time: number | null; from: Photo['time_from'] }

/** What photos are held against. */
export interface PhotoSetting {
  inputs: Pick<CampaignInputs, 'rows' | 'fills'> & { campaign: { timeZone: string | null } }
  runs: readonly Run[]
  recordings: readonly DividedRecording[]
}

/** A photo of a fill is taken within so long before or after it, s. Common practice, no source. */
const AT_FILL_S = 1800
/** A camera's place may be minutes old; farther away than this it was with somebody else, m. Common practice, no source. */
const SAME_PLACE_M = 2000
/** The vehicle is taken to stand where its recording ends for so long, s. */
const STANDS_S = 600

/** The pictures of a folder with the drive or the fill that each belongs to, and what is to be said of them. */
export function photosTold(
  files: readonly MappedFile[],
  setting: PhotoSetting,
  hidden: Hidden | null,
): { photos: Photo[]; problems: Problem[] } {
  const pictures = picturesOf(files)
  const told = files.flatMap((file) =>
    file.kind === 'picture' && file.picture ? [photoOf(file, file.picture, pictures, setting, hidden)] : [],
  )
  return { photos: told.map(({ photo }) => photo), problems: told.flatMap(({ problems }) => problems) }
}

function photoOf(
  { path, sha256 }: MappedFile,
  picture: Picture,
  pictures: readonly string[],
  setting: PhotoSetting,
  hidden: Hidden | null,
): { photo: Photo; problems: Problem[] } {
  const { time, from } = timeOf(picture, setting.inputs.campaign.timeZone)
  const names = ({ photo }: { photo: string | null }): boolean => photo !== null && photoPath(photo, pictures) === path
  const ofRow = setting.runs.filter(({ row }) => row !== null && names(row))
  const ofLog = setting.inputs.fills.find(names)
  const isNamed = ofLog !== undefined || setting.inputs.rows.some(names)
  const during = setting.runs.filter((run) => time !== null && isWithin(time, run))
  const run = isNamed ? (ofRow.find((r) => during.includes(r)) ?? ofRow[0]) : nearest(during, picture, time)
  const fill = ofLog ?? (isNamed || during.length > 0 ? undefined : fillAt(picture, time, setting))
  const recorded = time === null ? null : recordedPlace(setting.recordings, time, STANDS_S)
  const places = [placeOf(picture), recorded].flatMap((place) => place ?? [])
  const isPrivate = hidden !== null && places.some(({ latitude, longitude }) => hidden(latitude, longitude))
  const isUnmatched = !isNamed && run === undefined && fill === undefined
  return {
    photo: {
      path,
      sha256,
      time: time === null ? null : isoTime(time),
      time_from: from,
      taken_at: isPrivate ? null : placeOf(picture),
      private: isPrivate,
      run: run?.id ?? null,
      fill: fill?.line ?? null,
      fill_file: fill?.file ?? null,
    },
    problems: [
      ...(isUnmatched ? [unmatched(path, picture, time, during)] : []),
      ...(isPrivate ? [privateNote(path)] : []),
    ],
  }
}

/** Cameras write what their clock shows: with its offset from UTC, or without. */
function timeOf({ clockTime, offset, gpsTime }: Picture, timeZone: string | null): PhotoTime {
  if (clockTime !== null && offset !== null) return { time: Date.parse(clockTime + offset) / 1000, from: 'offset' }
  if (clockTime !== null && timeZone !== null)
    return { time: DateTime.fromISO(clockTime, { zone: timeZone }).toSeconds(), from: 'time-zone' }
  return gpsTime === null ? { time: null, from: null } : { time: gpsTime, from: 'gps' }
}

const placeOf = ({ latitude, longitude }: Picture): Place | null =>
  latitude === null || longitude === null ? null : { latitude, longitude }

const apartM = (a: Place, b: Place): number => stepM(a.latitude, a.longitude, b.latitude, b.longitude)

const isWithin = (time: number, { summary }: Run): boolean => time >= summary.startTime && time <= summary.endTime

/** Of the drives at that time the one that was nearest; none where the picture was taken elsewhere. */
function nearest(during: readonly Run[], picture: Picture, time: number | null): Run | undefined {
  const place = placeOf(picture)
  if (place === null || time === null) return during[0]
  return during
    .map((run) => ({ run, m: apartM(place, placeIn(run.drive.trace, time)) }))
    .filter(({ m }) => m <= SAME_PLACE_M)
    .sort((a, b) => a.m - b.m)[0]?.run
}

type Trace = Run['drive']['trace']

function placeIn({ time, latitude, longitude }: Trace, at: number): Place {
  let best = 0
  for (let i = 1; i < time.length; i++) if (Math.abs(time[i] - at) < Math.abs(time[best] - at)) best = i
  return { latitude: latitude[best], longitude: longitude[best] }
}

/** Where the vehicle was, by a recording that holds the time or ends or begins within some seconds of it. */
function recordedPlace(recordings: readonly DividedRecording[], time: number, withinS: number): Place | null {
  const sessions = recordings
    .flatMap(({ sessions: own }) => own)
    .map((session) => ({ session, s: Math.max(0, session.startTime - time, time - session.endTime) }))
    .filter(({ s }) => s <= withinS)
    .sort((a, b) => a.s - b.s)
  return sessions.length === 0 ? null : placeIn(sessions[0].session.drive.trace, time)
}

/** The fill that a picture was taken at: by time and, where both are known, by place; of a day with one fill, that one. */
function fillAt(picture: Picture, time: number | null, { inputs, recordings }: PhotoSetting): FillRow | undefined {
  if (time === null) return undefined
  const place = placeOf(picture)
  const isElsewhere = ({ fromTime }: FillRow): boolean => {
    const vehicle = recordedPlace(recordings, fromTime, STANDS_S)
    return place !== null && vehicle !== null && apartM(place, vehicle) > SAME_PLACE_M
  }
  const away = ({ fromTime }: FillRow): number => Math.abs(fromTime - time)
  const [timed] = inputs.fills
    .filter((fill) => fill.toTime === fill.fromTime && away(fill) <= AT_FILL_S && !isElsewhere(fill))
    .sort((a, b) => away(a) - away(b))
  if (timed) return timed
  const ofDay = inputs.fills.filter(({ fromTime, toTime }) => toTime > fromTime && time >= fromTime && time < toTime)
  return ofDay.length === 1 ? ofDay[0] : undefined
}

function unmatched(path: string, picture: Picture, time: number | null, during: readonly Run[]): Problem {
  return {
    code: 'photo-unmatched',
    severity: 'note',
    file: path,
    message: `this picture belongs to no drive and no fill: no row names it as its photo, and ${whyNot(picture, time, during)}`,
    hint:
      time === null && picture.clockTime !== null
        ? 'State time_zone in campaign.yaml if the camera showed local time, or name the picture under photo.'
        : 'Nothing to do, unless it is wanted beside a drive or a fill: then name it under photo in its row.',
  }
}

function whyNot({ form, clockTime, ...rest }: Picture, time: number | null, during: readonly Run[]): string {
  if (time !== null) {
    if (during.length === 0) return `it was taken at ${isoTime(time)}, during no drive and at no fill`
    const km = Math.min(...during.map(({ drive }) => apartM(rest as Place, placeIn(drive.trace, time)))) / 1000
    return `it was taken at ${isoTime(time)}, during the drive ${during[0].id}, but ${km.toFixed(1)} km from it`
  }
  if (clockTime !== null)
    return `its camera's clock showed ${clockTime.replace('T', ' ')} in a time zone that is not known`
  return form === 'another form' ? 'time and place are read from JPEG and PNG files only' : 'it holds no time'
}

const privateNote = (path: string): Problem => ({
  code: 'photo-private',
  severity: 'note',
  file: path,
  message: 'this picture was taken within a private place: its place is left out, and --photos does not show it',
})
