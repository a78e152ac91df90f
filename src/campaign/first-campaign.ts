import { MEASUREMENT_SD, METER_TOLERANCE_PCT } from '../claim/fuel/measure.ts'
import { procedures } from '../compare/limits.ts'
import { vehicleOf } from '../demand/vehicle.ts'
import { defaultCampaign, USUAL_GATE_M, USUAL_PRIVATE_M } from '../read/campaign/campaign.ts'
import { campaignSchema } from '../read/campaign/campaign-schema.ts'
import type { Campaign, VehicleClass } from '../read/campaign/settings.ts'

const { shape } = campaignSchema

/**
 * A first campaign.yaml, commented. What stands in it without a # is what the tool takes anyway, so that the file
 * changes no answer; what depends on the vehicle or on the user's knowledge is commented out with the default beside it.
 */
export function firstCampaignYaml(): string {
  const campaign = defaultCampaign()
  return [ofTest(campaign), ofVehicle(campaign), SETUPS, FUEL, PLACES, ofLand(campaign)].join('\n')
}

const ofTest = ({
  marginPct,
}: Campaign): string => `# Settings of this test. Lines that begin with # are not read: take the # away to say something.
# Everything below without a # is what ceteris takes when the file is missing; "…_uncertainty" is one standard deviation.

# title: What was changed, and where it was driven

# The zone of times that are written without an offset, as an IANA name like Europe/Vienna. Without it they are UTC.
# time_zone: UTC

# The setup that the others are held against: one of the names under "setups".
# baseline: as_bought

# How large a difference of conditions still counts as equal, in percent.
margin_pct: ${marginPct}
`

function ofVehicle(campaign: Campaign): string {
  const vehicle = vehicleOf(campaign.vehicle)
  const vehicleShape = shape.vehicle.unwrap().unwrap().shape
  const classes: readonly VehicleClass[] = vehicleShape.class.unwrap().unwrap().options
  const powertrains = vehicleShape.powertrain.unwrap().unwrap().options
  const of = ({ value, sd }: { value: number; sd: number }, digits: number, key: string): string =>
    `  # ${key}: ${value.toFixed(digits)}\n  # ${key}_uncertainty: ${sd.toFixed(digits)}`
  return `vehicle:
  # What it is called; shown on cards.
  # name: white van
  # One of ${classes.join(', ')}.
  # Whatever is not stated comes from the class. With nothing stated here the class is not known, and intervals are wider.
  # class: ${vehicle.class}
  # One of ${powertrains.join(', ')}.
  # powertrain: ${vehicle.powertrain.kind}
  # What the class ${vehicle.class} stands for. State what you know better: mass with driver and load, kg;
  # drag coefficient times frontal area, m²; rolling resistance (kg/t divided by 1000); height at which the wind acts, m.
  # A value without its uncertainty counts as known twice as well as the class's.
${of(vehicle.massKg, 0, 'mass_kg')}
${of(vehicle.dragAreaM2, 3, 'drag_area_m2')}
${of(vehicle.rollingResistance, 4, 'rolling_resistance')}
  # reference_height_m: ${vehicle.referenceHeightM}
`
}

const SETUPS = `# Each setup with the parts fitted, as they are named in runs.csv; [] for none.
setups:
  # as_bought: []
  # covered: [wheel covers]
`

const FUEL = `fuel:
  # Standard deviation of one fill to the same level, litres: fill five times in a row to find yours.
  # fill_repeatability_l: ${MEASUREMENT_SD.fillLitres}
  # The same of one charge, in kWh, is stated as charge_repeatability_kwh; without it, it is 1 % of the charge.
  # How far the pump's meter may be off, percent.
  # meter_tolerance_pct: ${METER_TOLERANCE_PCT}
`

const PLACES = `# Where stations are, if their files do not say so: degrees, metres above the sea, metres above the ground.
stations:
  # mast: { lat: 48.2, lon: 16.4, elevation_m: 200, anemometer_height_m: 10 }

# Where most of the driving of a fuel log without tracks was: the weather of that place stands beside the consumption.
# place: { lat: 48.2, lon: 16.4 }

# Where drives begin and end, degrees and metres; without gates that is found from the recordings. One gate makes laps,
# two make drives from the one to the other.
gates:
  # start: { lat: 48.2, lon: 16.4, radius_m: ${USUAL_GATE_M} }

# Places that no map, outline or points file shows: somebody's home. ${USUAL_PRIVATE_M} m around where no radius is stated.
private:
  # home: { lat: 48.2, lon: 16.4, radius_m: ${USUAL_PRIVATE_M} }

# Tracks whose latitude and longitude stand the other way round; all: every one.
# exchanged_positions: [track.gpx]
`

const ofLand = ({
  terrain,
}: Campaign): string => `# The land between the road and the masts: ${shape.terrain.unwrap().unwrap().options.join(', ')}.
terrain: ${terrain}

# Published test procedures to hold the drives against: ${Object.keys(procedures).join(', ')}.
# limits: []
`
