import { mapFile, type WholeFile } from '../../src/campaign/load/map-file.ts'
import { inputFile } from '../campaign/folder.ts'
import { type SimulatedCampaign, simulatedFiles } from '../campaign/simulated-campaign.ts'
import { chargeKwh, fillLitres, type Truth, type Vehicle, withDrag } from '../simulator/index.ts'
import { randomOf } from '../simulator/random.ts'

/** A campaign with fuel: the baseline and each setup are driven by turns. */
export interface ClaimCampaign extends SimulatedCampaign {
  setups: readonly { name: string; dragPct: number }[]
  /** Whether the trip computer is read as well: 4 % off, and 2 % from run to run. */
  tripComputer?: boolean
  /** Standard deviation of one fill, litres; of a battery 0.01, relative. */
  fillSd?: number
  /** Whether the road of a run is wet, taken in turn: tyres then roll 15 % harder, and the air is damp. */
  wet?: readonly (0 | 1)[]
}

/** A simulated campaign with fuel, read but not yet computed, with what is true of it. */
export interface SimulatedClaims {
  mapped: WholeFile[]
  /** What each run would have taken with the baseline, J/m. */
  demandsJPerM: number[]
  /** What each setup truly does to the consumption, percent. */
  effectsPct: Record<string, number>
}

/**
 * Engine, battery and tyres are never twice the same, with one vehicle and driver less than with another: standard deviation
 * of ln(fuel), 0.5 to 1.0 % in two campaigns of three. Common practice, no source; SAE J1321 (1986) states ±1 % for the whole
 * of a careful test.
 */
const REPEATABILITY = { median: 0.007, logSd: 0.4 }
/**
 * The energy of a litre from one delivery to another: anywhere within this, two thirds of what EN 590 leaves to diesel's density
 * (820 to 845 kg/m³, from memory). Drives lie days apart, so each has a delivery of its own.
 */
const DELIVERY = 0.01
/** The fuel at the pump from day to day: 1.5 K in an underground tank (common practice), 0.0009 per kelvin (API MPMS 11.1, from memory). */
const FUEL_WARMTH = 1.5 * 0.0009
/** Tyres roll so much harder on a wet road. */
const WET_ROLLING = 1.15
const BASELINE = 'bare'

export function simulateClaims(given: ClaimCampaign): SimulatedClaims {
  const setupOf = (run: number) => [{ name: BASELINE, dragPct: 0 }, ...given.setups][run % (given.setups.length + 1)]
  const vehicleIn = (run: number): Vehicle => {
    const { dragPct } = setupOf(run)
    return wetted(withDrag(given.vehicle, dragPct), given.wet?.[run % given.wet.length] === 1)
  }
  const { files, truths, truthWith } = simulatedFiles({ damp: given.wet, ...given, vehicleIn })
  const unchanged = truths.map((_, run) => truthWith(run, given.vehicle))
  const rows = truths.map((truth, run) => `tracks/run-${run}.gpx,${setupOf(run).name},${readings(given, truth, run)}`)
  const { powertrain } = given.vehicle
  const header = `track,setup,${powertrain === 'electric' ? 'energy_kwh' : 'fuel_l'},trip_computer_l_per_100km`
  const [first, ...others] = files
  const said = new TextDecoder().decode(first.bytes) + campaignOf(given)
  const table = inputFile('runs.csv', [header, ...rows].join('\n'))
  const all = [inputFile('campaign.yaml', said), table, ...others].sort((a, b) => (a.path < b.path ? -1 : 1))
  const effectPct = (dragPct: number): number => {
    if (dragPct === 0) return 0
    const changed = withDrag(given.vehicle, dragPct)
    const logs = unchanged.map((truth, run) => Math.log(truthWith(run, changed).fuelEnergyJ / truth.fuelEnergyJ))
    return 100 * Math.expm1(logs.reduce((sum, log) => sum + log, 0) / logs.length)
  }
  return {
    mapped: all.map(mapFile),
    demandsJPerM: unchanged.map(({ demandJPerM }) => demandJPerM),
    effectsPct: Object.fromEntries(given.setups.map(({ name, dragPct }) => [name, effectPct(dragPct)])),
  }
}

const wetted = (vehicle: Vehicle, isWet: boolean): Vehicle =>
  isWet ? { ...vehicle, rollingResistance: WET_ROLLING * vehicle.rollingResistance } : vehicle

const USUAL_FILL_SD = 0.12

function campaignOf({ vehicle, fillSd = USUAL_FILL_SD }: ClaimCampaign): string {
  const fuel = vehicle.powertrain === 'electric' ? '' : `fuel:\n  fill_repeatability_l: ${fillSd}\n`
  return `setups:\n  ${BASELINE}: []\nbaseline: ${BASELINE}\n${fuel}`
}

/** What the pump or the charger showed after a run, and the trip computer where it is read. */
function readings(settings: ClaimCampaign, truth: Truth, run: number): string {
  const { vehicle, fillSd = USUAL_FILL_SD } = settings
  const seed = `${settings.seed}/${run}`
  const { median, logSd } = REPEATABILITY
  const repeatability = median * Math.exp(logSd * randomOf(`${settings.seed}/care`).normal())
  const departure = Math.exp(repeatability * randomOf(`${seed}/departure`).normal())
  const taken = { ...truth, fuelEnergyJ: truth.fuelEnergyJ * departure }
  if (vehicle.powertrain === 'electric') return `${chargeKwh(taken, { seed }).toFixed(5)},`
  const exact = { before: `${seed}/before`, after: `${seed}/after` }
  const fuel = randomOf(`${seed}/fuel`)
  const used = { ...taken, fuelEnergyJ: taken.fuelEnergyJ / (1 + fuel.between(-DELIVERY, DELIVERY)) }
  const meterFactor = 1 + FUEL_WARMTH * fuel.normal()
  const litres = fillLitres(vehicle, used, { ...exact, repeatabilityLitres: fillSd, meterFactor })
  if (!settings.tripComputer) return `${litres.toFixed(3)},`
  const per100Km = (1e5 * fillLitres(vehicle, used, { ...exact, repeatabilityLitres: 0 })) / truth.distanceM
  return `${litres.toFixed(3)},${(1.04 * per100Km * Math.exp(0.02 * randomOf(`${seed}/trip`).normal())).toFixed(3)}`
}
