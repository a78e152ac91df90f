import { z } from 'zod'
import type { Problem } from '../base/problem.ts'
import type { MappedFile, MappedTrack } from '../campaign/load/map-file.ts'
import type { Drive, Fixes, Motion } from '../track/types.ts'

/** What the first map step found in one file. */
export interface FileRecord {
  /** As it stands in the campaign's folder, '/' between its parts. */
  path: string
  /** null for a file that could not be read. */
  mapped: MappedFile | null
  /** Why it could not be read, or was passed over. */
  problems: Problem[]
}

/** A mapped file as its record tells it: what follows from the drives is left out. */
export type BareFile = Omit<MappedFile, 'tracks'> & { tracks: (Omit<MappedTrack, 'drive'> & { drive: Drive | null })[] }

const floats = z.instanceof(Float64Array)
/** NaN where it does not exist. */
const figure = z.union([z.number(), z.nan()])

const problem: z.ZodType<Problem> = z.strictObject({
  code: z.string(),
  severity: z.enum(['error', 'warning', 'note']),
  message: z.string(),
  file: z.string().optional(),
  line: z.number().optional(),
  column: z.number().optional(),
  hint: z.string().optional(),
})

const fixes: z.ZodType<Fixes> = z
  .strictObject({ time: floats, latitude: floats, longitude: floats, elevation: floats })
  .refine(({ time, ...others }) => time.length > 0 && Object.values(others).every((c) => c.length === time.length))

const motion: z.ZodType<Motion> = z
  .strictObject({
    startTime: z.number(),
    stepS: z.number().positive(),
    count: z.int().min(2),
    latitude: floats,
    longitude: floats,
    speedMps: floats,
    courseDeg: floats,
    distanceM: floats,
    elevationM: floats,
    state: z.instanceof(Uint8Array),
  })
  .refine(({ startTime: _, stepS: _s, count, ...columns }) => Object.values(columns).every((c) => c.length === count))

const drive: z.ZodType<Drive> = z.strictObject({
  fixes,
  fixCount: z.int(),
  motion,
  gaps: z.array(z.strictObject({ fromTime: z.number(), toTime: z.number(), chordM: figure })),
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
  medianFixIntervalS: figure,
  positionNoiseM: figure,
  gapShare: figure,
  elevationShare: figure,
})

/** Every kind of file, and whether its text is needed again. */
const NEEDS_TEXT: Record<MappedFile['kind'], boolean> = {
  gpx: false,
  kml: false,
  html: false,
  unrecognised: false,
  elevation: false,
  picture: false,
  metar: true,
  isd: true,
  'isd-lite': true,
  'hourly-csv': true,
  'observation-table': true,
  'runs-table': true,
  campaign: true,
}

const mapped: z.ZodType<BareFile> = z
  .strictObject({
    path: z.string(),
    sha256: z.string(),
    kind: z.enum(Object.keys(NEEDS_TEXT) as MappedFile['kind'][]),
    problems: z.array(problem),
    notes: z.array(z.string()),
    tracks: z.array(
      z.strictObject({
        index: z.int(),
        name: z.string().nullable(),
        drive: drive.nullable(),
        problems: z.array(problem),
      }),
    ),
    text: z.string().nullable(),
  })
  .refine(({ kind, text }) => text !== null || !NEEDS_TEXT[kind])

/** The body of a file's record, its columns read. */
export const fileBody: z.ZodType<Omit<FileRecord, 'mapped'> & { mapped: BareFile | null }> = z
  .strictObject({ path: z.string(), mapped: mapped.nullable(), problems: z.array(problem) })
  .refine((record) => record.mapped === null || record.mapped.path === record.path)
