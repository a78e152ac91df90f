import type { z } from 'zod'
import { campaignSchema } from '../../read/campaign/campaign-schema.ts'

/** A setting of campaign.yaml as a form shows it. What it may hold comes from the schema of that file. */
export interface SettingField {
  path: readonly string[]
  label: string
  kind: 'number' | 'text' | 'choice'
  /** Of a choice. */
  options: readonly string[]
  /** What is taken where nothing is stated, or what helps. */
  help?: string
}

export interface FieldGroup {
  title: string
  fields: readonly SettingField[]
}

/** The schema of a section or value at a path. */
function schemaAt(path: readonly string[]): z.ZodType {
  let at: unknown = campaignSchema
  for (const key of path) at = (bare(at) as { shape: Record<string, unknown> }).shape[key]
  return bare(at) as z.ZodType
}

/** Without "may be left out". */
function bare(schema: unknown): unknown {
  let at = schema as { unwrap?: () => unknown; type?: string }
  while (typeof at.unwrap === 'function' && (at.type === 'optional' || at.type === 'nullable'))
    at = at.unwrap() as typeof at
  return at
}

function field(path: string, label: string, help?: string): SettingField {
  const keys = path.split('.')
  const schema = schemaAt(keys) as { type?: string; options?: readonly string[] }
  const kind = schema.type === 'number' ? 'number' : schema.type === 'enum' ? 'choice' : 'text'
  return {
    path: keys,
    label,
    kind,
    options: kind === 'choice' ? (schema.options ?? []) : [],
    ...(help ? { help } : {}),
  }
}

/** Every key of the sections that a form shows in full; the others have forms of their own. */
export const FIELD_GROUPS: readonly FieldGroup[] = [
  {
    title: 'The test',
    fields: [
      field('title', 'Title'),
      field('baseline', 'Baseline: the setup that the others are held against'),
      field(
        'margin_pct',
        'Margin, %',
        'How large a difference of conditions still counts as equal. 1 where nothing is stated.',
      ),
      field('time_zone', 'Time zone', 'Of times without an offset: Europe/Vienna, UTC-8. UTC where nothing is stated.'),
    ],
  },
  {
    title: 'Vehicle',
    fields: [
      field('vehicle.name', 'Name', 'Shown on the cards.'),
      field('vehicle.class', 'Class', 'Whatever is not stated below comes from the class.'),
      field('vehicle.powertrain', 'Powertrain'),
      field('vehicle.mass_kg', 'Mass with driver and load, kg'),
      field('vehicle.mass_kg_uncertainty', 'its standard deviation, kg'),
      field('vehicle.drag_area_m2', 'Drag area (drag coefficient times frontal area), m²'),
      field('vehicle.drag_area_m2_uncertainty', 'its standard deviation, m²'),
      field('vehicle.rolling_resistance', 'Rolling resistance, kg/t divided by 1000'),
      field('vehicle.rolling_resistance_uncertainty', 'its standard deviation'),
    ],
  },
]

export const MORE_GROUPS: readonly FieldGroup[] = [
  {
    title: 'Frontal area and drag coefficient, in place of the drag area',
    fields: [
      field('vehicle.frontal_area_m2', 'Frontal area, m²'),
      field('vehicle.frontal_area_m2_uncertainty', 'its standard deviation, m²'),
      field('vehicle.drag_coefficient', 'Drag coefficient'),
      field('vehicle.drag_coefficient_uncertainty', 'its standard deviation'),
      field('vehicle.reference_height_m', 'Height at which the wind acts, m'),
    ],
  },
  {
    title: 'Battery',
    fields: [
      field('vehicle.battery_capacity_kwh', 'Usable capacity, kWh'),
      field('vehicle.battery_capacity_kwh_uncertainty', 'its standard deviation, kWh'),
      field('vehicle.charging_efficiency', 'Charging efficiency, as a share'),
      field('vehicle.charging_efficiency_uncertainty', 'its standard deviation'),
      field('vehicle.fuel_l_per_battery_kwh', 'Fuel for a kilowatt hour of a hybrid’s battery, l'),
      field('vehicle.fuel_l_per_battery_kwh_uncertainty', 'its standard deviation, l'),
    ],
  },
  {
    title: 'Fuel and land',
    fields: [
      field('fuel.fill_repeatability_l', 'Standard deviation of one fill to the same level, l'),
      field(
        'fuel.charge_repeatability_kwh',
        'Standard deviation of one charge, kWh',
        '1 % of the charge where nothing is stated.',
      ),
      field('fuel.meter_tolerance_pct', 'How far the pump’s meter may be off, %'),
      field('terrain', 'The land between the road and the masts'),
      field(
        'private_ends_radius_m',
        'Hidden around the ends of recordings, m',
        '500 where nothing is stated; 0 shows them.',
      ),
    ],
  },
]

/** A section whose keys are names that the user gives. */
export interface NamedSection {
  key: 'stations' | 'gates' | 'private'
  title: string
  one: string
  help: string
  fields: readonly { key: string; label: string }[]
}

/** They stand together, or not at all. */
export const COAST_DOWN = {
  path: ['vehicle', 'coast_down'],
  fields: [
    { key: 'a_n', label: 'a, N' },
    { key: 'b_n_per_mps', label: 'b, N per m/s' },
    { key: 'c_n_per_mps2', label: 'c, N per (m/s)²' },
    { key: 'reference_temperature_c', label: 'at the temperature, °C' },
    { key: 'reference_density_kgm3', label: 'at the air density, kg/m³' },
  ],
} as const

const PLACE = [
  { key: 'lat', label: 'Latitude, degrees north' },
  { key: 'lon', label: 'Longitude, degrees east' },
]

export const NAMED_SECTIONS: readonly NamedSection[] = [
  {
    key: 'stations',
    title: 'Weather stations',
    one: 'station',
    help: 'Where a station is and how high its anemometer stands, if its file does not say so.',
    fields: [
      ...PLACE,
      { key: 'elevation_m', label: 'Elevation, m' },
      { key: 'anemometer_height_m', label: 'Anemometer above ground, m' },
    ],
  },
  {
    key: 'gates',
    title: 'Gates',
    one: 'gate',
    help: 'Where drives begin and end. One gate makes laps, two make drives from the one to the other.',
    fields: [...PLACE, { key: 'radius_m', label: 'Half-width, m' }],
  },
  {
    key: 'private',
    title: 'Private places',
    one: 'place',
    help: 'Shown on no map and in no points file.',
    fields: [...PLACE, { key: 'radius_m', label: 'Radius, m' }],
  },
]
