import { MEASUREMENT_SD, METER_TOLERANCE_PCT } from '../claim/measure.ts'
import { procedures } from '../compare/limits.ts'
import { vehicleOf } from '../demand/vehicle.ts'
import { defaultCampaign } from '../read/campaign.ts'
import { campaignSchema } from '../read/campaign-schema.ts'
import type { VehicleClass } from '../read/types.ts'
import type { Roads } from './load/routes.ts'
import type { Run } from './load/runs.ts'

/** The columns of a first runs.csv; all but the first are left for the user to fill in. */
const COLUMNS = ['track', 'setup', 'fuel_l', 'fuel_temperature_c', 'odometer_km', 'fill_group', 'note']

/**
 * A first runs.csv: a row per run with its track alone, and above each row what the track says (when, which road, how
 * far) as a comment. Nothing is filled in that the user has not said.
 */
export function firstRunsCsv(runs: Run[], { contexts }: Pick<Roads, 'contexts'>): string {
  const told = runs.map(({ summary }, i) => {
    const start = new Date(summary.startTime * 1000).toISOString().slice(0, 16).replace('T', ' ')
    return `# ${start} UTC, ${contexts[i].name}, ${(summary.distanceM / 1000).toFixed(1)} km, ${Math.round(summary.durationS / 60)} min`
  })
  const rows = runs.map(({ track }) => csvCell(track) + ','.repeat(COLUMNS.length - 1))
  return `${[RUNS_HEAD, COLUMNS.join(','), ...rows.flatMap((row, i) => [told[i], row])].join('\n')}\n`
}

/**
 * A name as it is read back: in quotation marks where it could be taken for several cells or for a comment, and begun with
 * "./" where a spreadsheet would take it for a formula.
 */
function csvCell(name: string): string {
  const path = /^[=+\-@\t\r]/.test(name) ? `./${name}` : name
  return /[",;\t\r\n]|^#/.test(path) ? `"${path.replaceAll('"', '""')}"` : path
}

const RUNS_HEAD = `# A row per drive. An empty cell means "not known"; lines that begin with # are not read.
# setup: your name for what was fitted (define it in campaign.yaml). fuel_l: what the drive used, by the fill after it
#   (or fuel_gal_us, fuel_gal_imp, fuel_kg, energy_kwh). odometer_km: the trip's distance by the odometer.
# fill_group: the same word for drives filled at one pump, each fill the start of the next.
# More columns that can be added: trip_computer_l_per_100km, payload_kg, tyre_pressure_kpa, accessories_w, photo,
#   exclude (a reason to leave the drive out), and your own note of the weather where there is no station:
#   temperature_c, relative_humidity_pct, wind_speed_mps, wind_from_deg.`

/**
 * A first campaign.yaml, commented. What stands in it without a # is what the tool takes anyway, so that the file
 * changes no answer; what depends on the vehicle or on the user's knowledge is commented out with the default beside it.
 */
export function firstCampaignYaml(): string {
  const campaign = defaultCampaign()
  const vehicle = vehicleOf(campaign.vehicle)
  const { shape } = campaignSchema
  const vehicleShape = shape.vehicle.unwrap().unwrap().shape
  const classes: readonly VehicleClass[] = vehicleShape.class.unwrap().unwrap().options
  const powertrains = vehicleShape.powertrain.unwrap().unwrap().options
  const terrains = shape.terrain.unwrap().unwrap().options
  const of = ({ value, sd }: { value: number; sd: number }, digits: number, key: string): string =>
    `  # ${key}: ${value.toFixed(digits)}\n  # ${key}_uncertainty: ${sd.toFixed(digits)}`
  return `# Settings of this test. Lines that begin with # are not read: take the # away to say something.
# Everything below without a # is what ceteris takes when the file is missing; "…_uncertainty" is one standard deviation.

# title: What was changed, and where it was driven

# The zone of times that are written without an offset, as an IANA name like Europe/Vienna. Without it they are UTC.
# time_zone: UTC

# The setup that the others are held against: one of the names under "setups".
# baseline: as_bought

# How large a difference of conditions still counts as equal, in percent.
margin_pct: ${campaign.marginPct}

vehicle:
  # One of ${classes.join(', ')}.
  # Whatever is not stated comes from the class.
  # class: ${campaign.vehicle.class}
  # One of ${powertrains.join(', ')}.
  # powertrain: ${vehicle.powertrain.kind}
  # What the class ${campaign.vehicle.class} stands for. State what you know better: mass with driver and load, kg;
  # drag coefficient times frontal area, m²; rolling resistance (kg/t divided by 1000); height at which the wind acts, m.
  # A value without its uncertainty counts as known twice as well as the class's.
${of(vehicle.massKg, 0, 'mass_kg')}
${of(vehicle.dragAreaM2, 3, 'drag_area_m2')}
${of(vehicle.rollingResistance, 4, 'rolling_resistance')}
  # reference_height_m: ${vehicle.referenceHeightM}

# Each setup with the parts fitted, as they are named in runs.csv; [] for none.
setups:
  # as_bought: []
  # covered: [wheel covers]

fuel:
  # Standard deviation of one fill to the same level, litres: fill five times in a row to find yours.
  # fill_repeatability_l: ${MEASUREMENT_SD.fillLitres}
  # How far the pump's meter may be off, percent.
  # meter_tolerance_pct: ${METER_TOLERANCE_PCT}

# Where stations are, if their files do not say so: degrees, metres above the sea, metres above the ground.
stations:
  # mast: { lat: 48.2, lon: 16.4, elevation_m: 200, anemometer_height_m: 10 }

# The land between the road and the masts: ${terrains.join(', ')}.
terrain: ${campaign.terrain}

# Published test procedures to hold the drives against: ${Object.keys(procedures).join(', ')}.
# limits: []
`
}
