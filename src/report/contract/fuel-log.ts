import { z } from 'zod'
import { figure, fuelUnit } from './figures.ts'

/** A fill or a charge, as the fuel log has it. */
export const fill = z.strictObject({
  line: z.number().int(),
  /** The log, where there are several; null: the only one. */
  file: z.string().nullable(),
  /** Of a row with a date alone the begin of that day. */
  time: z.string(),
  /** Whether only the day is known. */
  day_only: z.boolean(),
  odometer_km: figure,
  amount: z.number(),
  unit: fuelUnit,
  /** To the usual level; a partial one is carried to the next full one. */
  full: z.boolean(),
  missed: z.boolean(),
  fuel_temperature_c: figure,
  soc_before_pct: figure,
  soc_after_pct: figure,
  pump: z.string().nullable(),
  setup: z.string().nullable(),
  price: z.string().nullable(),
  note: z.string().nullable(),
  photo: z.string().nullable(),
})

/** What was used between two fills to the same level. */
export const consumptionSpan = z.strictObject({
  id: z.string(),
  /** Of the fuel log: the fills at its ends. */
  from_line: z.number().int(),
  to_line: z.number().int(),
  /** The logs of these lines, where there are several; null: the only one. */
  from_file: z.string().nullable(),
  to_file: z.string().nullable(),
  from_time: z.string(),
  to_time: z.string(),
  setup: z.string().nullable(),
  unit: fuelUnit,
  amount: z.number(),
  /** Of a plug-in hybrid's fuel: charged meanwhile, at the charger's meter; null where nothing was. */
  charged_kwh: figure,
  /** By the log; null where no odometer was noted. */
  odometer_distance_m: figure,
  per_100_km: figure,
  /** What was recorded of it: drives, and other driving. */
  drives_m: z.number(),
  other_m: z.number(),
  /** Driven by the odometer and not recorded; null where nobody says. */
  unrecorded_m: figure,
  runs: z.array(z.string()),
  /** Part of the fuel that is held against the drives, 0 to 1; null where none is. */
  share: figure,
  /** Why it is not held against drives; null where it is. */
  reason_code: z
    .enum([
      'fill-missed',
      'setups-mixed',
      'odometer-backwards',
      'no-drives',
      'fill-during-drive',
      'fill-time-unclear',
      'other-driving-not-recorded',
      'recorded-more-than-odometer',
      'own-fuel',
      'setups-differ',
      'all-left-out',
      'beside-fuel',
    ])
    .nullable(),
  reason: z.string().nullable(),
  /** At the place that campaign.yaml states, or by the stations of the folder where these are near each other. */
  weather: z
    .strictObject({
      station: z.string(),
      observations: z.number().int(),
      temperature_c: figure,
      wind_speed_mps: figure,
      precipitation_mm: figure,
    })
    .nullable(),
})
