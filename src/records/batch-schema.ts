import { z } from 'zod'
import type { Problem } from '../base/problem.ts'
import type { RunResult } from '../campaign/drive/run-result.ts'
import { problem } from '../campaign/kept/columns.ts'
import { driveShape, fileShape } from '../campaign/kept/drive-shape.ts'
import { RUN_RESULT } from '../campaign/kept/run-shape.ts'
import type { MappedFile, MappedTrack, WholeFile } from '../campaign/load/map-file.ts'
import type { Drive } from '../track/types.ts'

/** What the first map step found in one file. */
export interface FileRecord {
  /** As it stands in the campaign's folder, '/' between its parts. */
  path: string
  /** null for a file that could not be read. */
  mapped: WholeFile | null
  /** Why it could not be read, or was passed over. */
  problems: Problem[]
}

/** What the second map step found for one run. */
export interface RunResultRecord {
  /** A digest of all that the result depends on. */
  key: string
  run: string
  /** What was asked for, to say what differs where a key fits nothing. */
  settings: { draws: number; seed: number; limits: string[] }
  result: RunResult
}

/** A mapped file as its record tells it: what follows from the drives is left out. */
export type BareFile = Omit<MappedFile, 'tracks'> & { tracks: (Omit<MappedTrack, 'drive'> & { drive: Drive | null })[] }

/** The body of a file's record, its columns read. */
export const fileBody: z.ZodType<Omit<FileRecord, 'mapped'> & { mapped: BareFile | null }> = z
  .strictObject({ path: z.string(), mapped: fileShape(driveShape).nullable(), problems: z.array(problem) })
  .refine((record) => record.mapped === null || record.mapped.path === record.path)

/** The body of a run's record, likewise. */
export const runBody: z.ZodType<RunResultRecord> = z.strictObject({
  key: z.string(),
  run: z.string(),
  settings: z.strictObject({ draws: z.number(), seed: z.number(), limits: z.array(z.string()) }),
  result: RUN_RESULT.shape,
})
