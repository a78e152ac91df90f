import { z } from 'zod'

/** null where a quantity does not exist. */
export const figure = z.number().nullable()
export const interval90 = z.strictObject({ mean: z.number(), low90: z.number(), high90: z.number() })
export const interval95 = z.strictObject({ estimate: z.number(), low95: z.number(), high95: z.number() })
export const phase = z.enum(['day', 'twilight', 'night'])
export const fuelUnit = z.enum(['l', 'kg', 'kWh'])
export const consumption = z.strictObject({
  unit: z.enum(['l', 'kg', 'kWh']),
  per_100_km: z.number(),
  adjusted_per_100_km: figure,
})
