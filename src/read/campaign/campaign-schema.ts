import { z } from 'zod'
import type { Powertrain, TerrainClass, VehicleClass } from './settings.ts'

/**
 * What campaign.yaml may say, as the user writes it. The bounds only catch slips of unit or decimal point; they are
 * common practice, no source: from a car of an efficiency contest to a loaded lorry. Each schema's error text completes the sentence "expected …".
 */
const VEHICLE_CLASSES = [
  'small_car',
  'car',
  'suv',
  'van',
  'pickup',
  'motorhome',
  'truck',
  'motorcycle',
  'bicycle',
  'electric_bicycle',
  'velomobile',
  'efficiency_car',
  'solar_car',
] as const satisfies readonly VehicleClass[]
const POWERTRAINS = ['petrol', 'diesel', 'hybrid', 'electric', 'human'] as const satisfies readonly Powertrain[]
const TERRAIN_CLASSES = [
  'sea',
  'smooth',
  'open',
  'roughly_open',
  'rough',
  'very_rough',
  'closed',
  'chaotic',
] as const satisfies readonly TerrainClass[]

function numberBetween(what: string, min: number, max: number) {
  const error = `${what} from ${min} to ${max}`
  return z.number({ error }).min(min, { error }).max(max, { error })
}

/** Names and titles stand in tables, in messages and on a terminal's lines. */
const LONGEST_TEXT = 200
const tooLong = `a text of at most ${LONGEST_TEXT} characters`
const text = (what: string) =>
  z.string({ error: what }).trim().min(1, { error: what }).max(LONGEST_TEXT, { error: tooLong })
const name = z.string().max(LONGEST_TEXT, { error: `a name of at most ${LONGEST_TEXT} characters` })
const oneOf = <const T extends readonly string[]>(values: T) => z.enum(values, { error: `one of ${values.join(', ')}` })
const section = <T extends z.ZodRawShape>(shape: T, what: string) => z.strictObject(shape, { error: what })

const vehicle = section(
  {
    name: text('a name').nullish(),
    class: oneOf(VEHICLE_CLASSES).nullish(),
    mass_kg: numberBetween('a number of kilograms', 20, 60000).nullish(),
    mass_kg_uncertainty: numberBetween('a standard deviation in kilograms', 0, 20000).nullish(),
    drag_area_m2: numberBetween('a number of square metres', 0.005, 20).nullish(),
    drag_area_m2_uncertainty: numberBetween('a standard deviation in square metres', 0, 10).nullish(),
    frontal_area_m2: numberBetween('a number of square metres', 0.05, 15).nullish(),
    frontal_area_m2_uncertainty: numberBetween('a standard deviation in square metres', 0, 7).nullish(),
    drag_coefficient: numberBetween('a number', 0.03, 1.5).nullish(),
    drag_coefficient_uncertainty: numberBetween('a standard deviation', 0, 1).nullish(),
    rolling_resistance: numberBetween('a coefficient (kg/t divided by 1000)', 0.0003, 0.05).nullish(),
    rolling_resistance_uncertainty: numberBetween('a standard deviation', 0, 0.02).nullish(),
    powertrain: oneOf(POWERTRAINS).nullish(),
    reference_height_m: numberBetween('a height above the road in metres', 0.1, 4).nullish(),
    battery_capacity_kwh: numberBetween('usable kilowatt hours', 0.001, 2000).nullish(),
    battery_capacity_kwh_uncertainty: numberBetween('a standard deviation in kilowatt hours', 0, 500).nullish(),
    charging_efficiency: numberBetween('a share', 0.5, 1).nullish(),
    charging_efficiency_uncertainty: numberBetween('a standard deviation', 0, 0.3).nullish(),
    fuel_l_per_battery_kwh: numberBetween('litres of fuel for a kilowatt hour of the battery', 0.1, 1).nullish(),
    fuel_l_per_battery_kwh_uncertainty: numberBetween('a standard deviation in litres', 0, 0.5).nullish(),
    coast_down: section(
      {
        a_n: numberBetween('a force in newtons', 0, 5000),
        b_n_per_mps: numberBetween('a number of N per m/s', -100, 500),
        c_n_per_mps2: numberBetween('a number of N per (m/s)²', 0.001, 15),
        reference_temperature_c: numberBetween('a temperature in °C', -40, 50),
        reference_density_kgm3: numberBetween('an air density in kg/m³', 0.7, 1.6),
        a_n_uncertainty: numberBetween('a standard deviation in newtons', 0, 1000).nullish(),
        c_n_per_mps2_uncertainty: numberBetween('a standard deviation in N per (m/s)²', 0, 5).nullish(),
      },
      'the keys a_n, b_n_per_mps, c_n_per_mps2, reference_temperature_c, reference_density_kgm3',
    ).nullish(),
  },
  'a section with keys such as class, mass_kg, drag_area_m2',
)

const station = section(
  {
    lat: numberBetween('degrees north', -90, 90).nullish(),
    lon: numberBetween('degrees east', -180, 180).nullish(),
    elevation_m: numberBetween('metres above mean sea level', -500, 9000).nullish(),
    anemometer_height_m: numberBetween('metres above ground', 0.5, 200).nullish(),
  },
  'a section with the keys lat, lon, elevation_m, anemometer_height_m',
)

const gate = section(
  {
    lat: numberBetween('degrees north', -90, 90),
    lon: numberBetween('degrees east', -180, 180),
    radius_m: numberBetween('metres', 10, 2000).nullish(),
  },
  'a section with the keys lat, lon, radius_m',
)

const coastDowns = section(
  {
    track: text('the name of a log'),
    windows: text('windows such as 10:15:20-10:15:55; 10:17:03-10:17:40').nullish(),
    heading_deg: z
      .union([z.literal('all'), numberBetween('degrees from north', 0, 360)], {
        error: 'degrees from north, 0 to 360, or all for laps',
      })
      .nullish(),
  },
  'a section with the keys track, windows, heading_deg',
)

const partsList = 'a list of parts, such as [skirts, wheel covers], or [] for none'

export const campaignSchema = section(
  {
    title: text('a text').nullish(),
    // YAML makes a number of -8 and +0530.
    time_zone: z
      .union([text('an IANA name such as Europe/Vienna'), z.int()], {
        error: 'an IANA name such as Europe/Vienna, or an offset such as UTC-8',
      })
      .nullish(),
    baseline: text("a setup's name").nullish(),
    margin_pct: numberBetween('a number of percent', 0.05, 50).nullish(),
    vehicle: vehicle.nullish(),
    setups: z
      .record(name, z.array(text("a part's name"), { error: partsList }).nullable(), {
        error: 'a section with a name and a list of parts for each setup',
      })
      .nullish(),
    fuel: section(
      {
        fill_repeatability_l: numberBetween('a standard deviation in litres', 0, 20).nullish(),
        charge_repeatability_kwh: numberBetween('a standard deviation in kilowatt hours', 0, 20).nullish(),
        meter_tolerance_pct: numberBetween('a number of percent', 0, 10).nullish(),
      },
      'a section with the keys fill_repeatability_l, charge_repeatability_kwh, meter_tolerance_pct',
    ).nullish(),
    stations: z.record(name, station, { error: 'a section with an id and a position for each station' }).nullish(),
    place: section(
      {
        lat: numberBetween('degrees north', -90, 90),
        lon: numberBetween('degrees east', -180, 180),
      },
      'a section with the keys lat, lon',
    ).nullish(),
    gates: z.record(name, gate, { error: 'a section with a name and a position for each gate' }).nullish(),
    private_ends_radius_m: numberBetween('metres, 0 to show the ends', 0, 5000).nullish(),
    private: z.record(name, gate, { error: 'a section with a name and a position for each private place' }).nullish(),
    coast_downs: z
      .record(name, coastDowns, { error: 'a section with a name and a log for each series of coast-downs' })
      .nullish(),
    exchanged_positions: z
      .union([text('the name of a track'), z.array(text('the name of a track'))], {
        error: 'a list of tracks whose latitude and longitude are exchanged, or all',
      })
      .nullish(),
    terrain: oneOf(TERRAIN_CLASSES).nullish(),
    limits: z.array(text("a procedure's id"), { error: "a list of procedures' ids" }).nullish(),
  },
  'keys and values, such as "margin_pct: 1"',
)

export type CampaignText = z.infer<typeof campaignSchema>
export type VehicleText = z.infer<typeof vehicle>
