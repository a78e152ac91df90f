import { z } from 'zod'
import { figure, interval95 } from './figures.ts'

/** The road load F = F0 + F2·V² from coast-downs, in calm air at the reference conditions. */
export const coastDown = z.strictObject({
  f0_n: interval95,
  f2_n_per_mps2: interval95,
  /** Whether both directions of a road were driven, and what differs between them was taken out. */
  both_directions: z.boolean(),
  reference_temperature_c: z.number(),
  reference_density_kgm3: z.number(),
  /** Lowest and highest speed: the road load holds between them. */
  low_mps: z.number(),
  high_mps: z.number(),
  windows: z.array(
    z.strictObject({
      track: z.string(),
      from: z.string(),
      to: z.string(),
      /** null: laps, all directions alike. */
      heading_deg: figure,
      from_mps: z.number(),
      to_mps: z.number(),
      wind_at_vehicle_mps: z.number(),
      /** Standard deviation of the recorded speed about the fitted one. */
      residual_mps: z.number(),
    }),
  ),
  sentence: z.string(),
  /** Lines for campaign.yaml that make the campaign use it; null where it is not known well enough. */
  campaign_lines: z.array(z.string()).nullable(),
})
