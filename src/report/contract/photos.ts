import { z } from 'zod'

/** A photograph in the folder, and what it belongs to. None of it enters a figure. */
export const photo = z.strictObject({
  path: z.string(),
  sha256: z.string(),
  /** When it was taken, UTC; null where the file has no time, or one in no known zone. */
  time: z.string().nullable(),
  /** What the camera's clock was held against: the offset it wrote, time_zone of campaign.yaml, or satellites alone. */
  time_from: z.enum(['offset', 'time-zone', 'gps']).nullable(),
  /** Where, as the file has it; null where it has no place, or a private one. */
  taken_at: z.strictObject({ latitude: z.number(), longitude: z.number() }).nullable(),
  /** Taken within a private place: neither place nor picture is shown. */
  private: z.boolean(),
  /** The drive it was taken during, or whose row names it. */
  run: z.string().nullable(),
  /** The line of the fuel log that names it, or whose fill it was taken at. */
  fill: z.number().int().nullable(),
  /** The log of that line, where there are several; null: the only one. */
  fill_file: z.string().nullable(),
})
