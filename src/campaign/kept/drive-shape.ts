import { z } from 'zod'
import type { Kind } from '../../base/remember.ts'
import type { Picture } from '../../read/picture/picture.ts'
import { TRACK_KINDS, type TrackKind } from '../../read/tracks/read.ts'
import { LOGGED_QUANTITIES } from '../../read/types.ts'
import { WEATHER_KINDS, type WeatherKind } from '../../read/weather/read.ts'
import type { Trace } from '../../road/division/trace.ts'
import type { Path } from '../../road/types.ts'
import type { Manner } from '../../track/manner.ts'
import type { SpeedLog } from '../../track/speed-log.ts'
import type { Drive, DriveLog, DriveSummary, Fixes, Motion } from '../../track/types.ts'
import type { MappedFile } from '../load/map-file.ts'
import type { MappedDrive } from '../load/mapped-drive.ts'
import { bytes, floats, haveLength, number, problem, text, textOrNull } from './columns.ts'

const fixes: z.ZodType<Fixes> = z
  .strictObject({ time: floats, latitude: floats, longitude: floats, elevation: floats })
  .refine((columns) => columns.time.length > 0 && haveLength(columns, columns.time.length))

export const motionShape: z.ZodType<Motion> = z
  .strictObject({
    startTime: number,
    stepS: z.number().positive(),
    count: z.int().min(2),
    latitude: floats,
    longitude: floats,
    speedMps: floats,
    fineSpeedMps: floats,
    coarseSpeedMps: floats,
    courseDeg: floats,
    distanceM: floats,
    elevationM: floats,
    state: bytes,
  })
  .refine((motion) => haveLength(motion, motion.count))

const log: z.ZodType<DriveLog> = z
  .strictObject({
    time: floats,
    columns: z.partialRecord(z.enum(LOGGED_QUANTITIES), z.strictObject({ values: floats, name: text })),
  })
  .refine(({ time, columns }) => Object.values(columns).every(({ values }) => values.length === time.length))

const ofTrack = {
  log: log.nullable(),
  fixes,
  fixCount: z.int(),
  gaps: z.array(z.strictObject({ fromTime: number, toTime: number, chordM: number })),
  pauses: z.array(z.strictObject({ fromTime: number, toTime: number })),
  repairs: z.strictObject({
    impossiblePositions: z.int(),
    impossibleTimes: z.int(),
    missingTimes: z.int(),
    exactDuplicates: z.int(),
    repeatedTimes: z.int(),
    outOfOrder: z.int(),
    frozenFixes: z.int(),
    spikes: z.int(),
    elevationOutliers: z.int(),
    clockJumps: z.int(),
    standingDrift: z.int(),
  }),
  medianFixIntervalS: number,
  speedIntervalS: number,
  positionNoiseM: number,
  gapShare: number,
  elevationShare: number,
}

export const driveShape: z.ZodType<Drive> = z.strictObject({ ...ofTrack, motion: motionShape })

export const summaryShape: z.ZodType<DriveSummary> = z.strictObject({
  startTime: number,
  endTime: number,
  distanceM: number,
  durationS: number,
  movingTimeS: number,
  stopCount: number,
  standingTimeS: number,
  gapTimeS: number,
  meanSpeedMps: number,
  movingSpeedMps: number,
  maxSpeedMps: number,
  elevationGainM: number,
  elevationLossM: number,
  netElevationM: number,
})

const ofPath = {
  distanceM: floats,
  latitude: floats,
  longitude: floats,
  courseDeg: floats,
  inGap: bytes,
  spacingM: number,
  lengthM: number,
  corridorM: number,
  doubt: number,
}

const path: z.ZodType<Path> = z
  .strictObject(ofPath)
  .refine((columns) => columns.distanceM.length > 1 && haveLength(columns, columns.distanceM.length))

const trace: z.ZodType<Trace> = z
  .strictObject({ ...ofPath, time: floats })
  .refine((columns) => columns.distanceM.length > 1 && haveLength(columns, columns.distanceM.length))

const manner: z.ZodType<Manner> = z
  .strictObject({
    usualMps: number,
    topMps: number,
    unevenness: number,
    pullMps2: number,
    brakeMps2: number,
    climbingMps: number,
    sharpestDeg: number,
    stopM: floats,
    stopS: floats,
  })
  .refine((columns) => columns.stopM.length === columns.stopS.length)

const mappedDrive: z.ZodType<MappedDrive> = z
  .strictObject({
    ...ofTrack,
    summary: summaryShape,
    box: z.strictObject({ southDeg: number, northDeg: number, westDeg: number, eastDeg: number }),
    path,
    trace,
    rests: z.array(z.strictObject({ fromTime: number, toTime: number, kind: z.enum(['stop', 'gap']) })),
    manner,
    pathElevationM: floats,
  })
  .refine((drive) => drive.pathElevationM.length === drive.path.distanceM.length)

const numberOrNull = z.number().nullable()

const picture: z.ZodType<Picture> = z.strictObject({
  form: z.enum(['JPEG', 'PNG', 'another form']),
  widthPx: numberOrNull,
  heightPx: numberOrNull,
  clockTime: textOrNull,
  offset: textOrNull,
  gpsTime: numberOrNull,
  latitude: numberOrNull,
  longitude: numberOrNull,
  orientation: z.int(),
})

const speedLog: z.ZodType<SpeedLog> = z
  .strictObject({ time: floats, speedMps: floats, powerW: floats.nullable() })
  .refine(({ time, speedMps, powerW }) => speedMps.length === time.length && (powerW ?? time).length === time.length)

/** Every kind of file, and whether its text is needed again. */
const NEEDS_TEXT: Record<MappedFile['kind'], boolean> = {
  ...(Object.fromEntries(TRACK_KINDS.map((kind) => [kind, false])) as Record<TrackKind, boolean>),
  html: false,
  unrecognised: false,
  elevation: false,
  picture: false,
  ...(Object.fromEntries(WEATHER_KINDS.map((kind) => [kind, true])) as Record<WeatherKind, boolean>),
  'runs-table': true,
  'fills-table': true,
  'fetched-list': true,
  campaign: true,
}

/** A mapped file whose tracks have drives of a shape. */
export const fileShape = <D>(drive: z.ZodType<D>) =>
  z
    .strictObject({
      path: text,
      sha256: text,
      kind: z.enum(Object.keys(NEEDS_TEXT) as MappedFile['kind'][]),
      problems: z.array(problem),
      notes: z.array(text),
      tracks: z.array(
        z.strictObject({
          index: z.int(),
          session: z.int(),
          name: textOrNull,
          drive: drive.nullable(),
          isZoneless: z.boolean().optional(),
          clockShiftS: z.number().optional(),
          speed: speedLog.optional(),
          problems: z.array(problem),
        }),
      ),
      text: textOrNull,
      isExchanged: z.boolean().optional(),
      picture: picture.optional(),
    })
    .refine(({ kind, text: content }) => content !== null || !NEEDS_TEXT[kind])

/** What the first map step makes of a file, but for the motions of its drives. */
export const MAPPED_FILE: Kind<MappedFile> = { name: 'mapped file', shape: fileShape(mappedDrive) }
/** A part of a recording that is a drive. */
export const DRIVE_PART: Kind<MappedDrive> = { name: 'drive part', shape: mappedDrive }
export const MOTION: Kind<Motion> = { name: 'motion', shape: motionShape }
