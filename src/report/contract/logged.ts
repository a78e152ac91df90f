import { z } from 'zod'
import { figure } from './figures.ts'

/** What was integrated over a drive, or counted by the vehicle. */
const loggedTotal = z.strictObject({
  by: z.enum(['fuel-rate', 'fuel-mass-rate', 'air-flow', 'fuel-total', 'voltage-and-current', 'power', 'energy-total']),
  /** The columns, as the file calls them. */
  columns: z.array(z.string()),
  unit: z.enum(['l', 'kWh']),
  amount: z.number(),
  /** Standard deviation of the integration, and of what is taken to turn air or kilograms into litres; not of the instruments. */
  sd: z.number(),
  /** What flowed back into the battery; null of fuel and of running totals. */
  regained: figure,
  /** Share of the drive's time with a record. */
  covered_share: z.number(),
  /** Whether it is the one that counts as evidence. */
  used: z.boolean(),
})

/** What a drive's logger wrote beside the positions. */
export const logged = z.strictObject({
  columns: z.array(z.strictObject({ quantity: z.string(), name: z.string() })),
  fuel: z.array(loggedTotal),
  energy: z.array(loggedTotal),
  /** Of the battery, 0 to 1. */
  charge_start: figure,
  charge_end: figure,
  /** Distance by the odometer. */
  odometer_m: figure,
  /** Mean while the vehicle moves. */
  ambient_temperature_c: figure,
})
