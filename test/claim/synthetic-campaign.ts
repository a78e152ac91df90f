import { drawsOf } from '../../src/base/draws.ts'
import type { ClaimSettings, FuelRun } from '../../src/claim/types.ts'
import type { RunRow } from '../../src/read/runs/rows.ts'
import { type Random, randomOf } from '../simulator/random.ts'

/**
 * Campaigns made up at the level of `FuelRun`: quick enough for thousands. The truth of every error is drawn from the
 * stated model, or from another one where `world` says so; the program sees only the reading and the demand's draws.
 */
export interface SyntheticSettings {
  seed: string
  setups: { name: string; parts?: string[]; effectPct: number; runs: number; warmerK?: number; windMps?: number }[]
  routeKm?: number
  litresPer100Km?: number
  fillSdLitres?: number
  chained?: boolean
  /** What every pump reading is multiplied by. */
  pumpFactor?: number
  world?: Partial<World>
}

/** What is true and the program does not know. */
export interface World {
  /** Run-to-run departure beyond all known errors, standard deviation of ln. */
  repeatability: number
  /** How many times as large as believed the errors of the conditions are. */
  conditionsFactor: number
  /** How many times as large as stated the errors of the fills are. */
  fillFactor: number
  /** Departures with the tails of Student's t with 4 degrees of freedom, scaled to the same spread. */
  heavyTails: boolean
}

const BELIEVED_WORLD: World = { repeatability: 0.008, conditionsFactor: 1, fillFactor: 1, heavyTails: false }

export const claimSettings = (over: Partial<ClaimSettings> = {}): ClaimSettings => ({
  setups: {},
  baseline: 'bare',
  fillRepeatabilityLitres: null,
  meterTolerancePct: null,
  powertrain: 'diesel',
  draws: 400,
  seed: 1,
  correctDrift: false,
  poolRoutes: false,
  ...over,
})

export const emptyRow = (over: Partial<RunRow> = {}): RunRow => ({
  line: 2,
  file: null,
  testVehicle: null,
  roadWet: null,
  vehicle: null,
  control: null,
  socBefore: Number.NaN,
  socAfter: Number.NaN,
  track: 'a.gpx',
  setup: null,
  fuelLitres: Number.NaN,
  fuelKg: Number.NaN,
  energyKwh: Number.NaN,
  fuelTemperatureK: Number.NaN,
  tripComputerLitresPer100Km: Number.NaN,
  gaugeMarkM: Number.NaN,
  obdFuelLitres: Number.NaN,
  odometerM: Number.NaN,
  payloadKg: Number.NaN,
  tyrePressurePa: Number.NaN,
  accessoriesW: Number.NaN,
  fillGroup: null,
  temperatureK: Number.NaN,
  relativeHumidity: Number.NaN,
  windSpeedMps: Number.NaN,
  windFromDeg: Number.NaN,
  from: null,
  to: null,
  split: null,
  engineOff: null,
  without: null,
  exclude: null,
  note: null,
  photo: null,
  when: null,
  consumptionLitresPer100Km: Number.NaN,
  extra: [],
  ...over,
})

const DAY_S = 86_400
const START_S = Date.parse('2025-05-05T08:00:00Z') / 1000
const DRAWS = 400
/** Demand at 15 °C and no wind, J/m. */
const CALM_DEMAND = 1200

/** Sensitivities of ln(demand) to a standard deviation of each uncertain thing: shared by all runs, and a run's own. */
function sensitivities(warmerK: number, windMps: number): { shared: Record<string, number>; own: number } {
  return {
    shared: {
      exposure: 0.22 * windShare(windMps),
      rolling: 0.0016 * Math.abs(warmerK) * 0.3,
      dragArea: 0.1 * (windShare(windMps) - 0.0033 * warmerK) * 0.5,
    },
    own: Math.hypot(0.004, 0.003 * windMps ** 0.5),
  }
}

/** What a wind does to the demand of a trip there and back. */
const windShare = (windMps: number): number => 0.0035 * windMps ** 2

/** ln of the demand against the calm one: wind, and thinner air and softer tyres when it is warmer. */
const logDemand = (warmerK: number, windMps: number): number => windShare(windMps) - 0.0045 * warmerK

export function syntheticCampaign(settings: SyntheticSettings): { runs: FuelRun[]; settings: ClaimSettings } {
  const world = { ...BELIEVED_WORLD, ...settings.world }
  const random = randomOf(settings.seed)
  const { routeKm = 160, litresPer100Km = 8, fillSdLitres = 0.12 } = settings
  const shared = { exposure: random.normal(), rolling: random.normal(), dragArea: random.normal() }
  const plan = shuffledPlan(settings, random)
  let levelBefore = fillSdLitres * world.fillFactor * random.normal()
  const runs = plan.map(({ setup, index }, i): FuelRun => {
    const warmerK = (setup.warmerK ?? 0) + 2 * random.normal()
    const windMps = Math.abs((setup.windMps ?? 1.5) + 0.7 * random.normal())
    const sense = sensitivities(warmerK, windMps)
    const log = logDemand(warmerK, windMps)
    const sharedError = Object.entries(sense.shared).reduce(
      (sum, [name, sd]) => sum + sd * shared[name as keyof typeof shared],
      0,
    )
    const trueLog = log + world.conditionsFactor * (sharedError + sense.own * random.normal())
    const departure = world.repeatability * (world.heavyTails ? heavy(random) : random.normal())
    const used = (litresPer100Km / 100) * routeKm * Math.exp(trueLog + Math.log1p(setup.effectPct / 100) + departure)
    if (!settings.chained) levelBefore = fillSdLitres * world.fillFactor * random.normal()
    const levelAfter = fillSdLitres * world.fillFactor * random.normal()
    // Diesel grows by 0.085 % per kelvin; nobody reads its temperature, which wanders by 2 K from day to day.
    const warmth = 1 + 0.00085 * 2 * random.normal()
    const reading = (used * warmth + levelAfter - levelBefore) * (settings.pumpFactor ?? 1)
    levelBefore = levelAfter
    const startTime = START_S + i * DAY_S + Math.round(3600 * random.normal())
    const id = `${setup.name}-${index}`
    return {
      id,
      route: 0,
      setup: setup.name,
      startTime,
      endTime: startTime + 7200,
      distanceM: 1000 * routeKm * (1 + 0.0015 * random.normal()),
      row: emptyRow({
        line: i + 2,
        track: `${id}.gpx`,
        setup: setup.name,
        fuelLitres: reading,
        fillGroup: settings.chained ? 'pump' : null,
      }),
      demandDraws: demandDraws(CALM_DEMAND * Math.exp(log), sense, `${settings.seed}/${id}`, settings.seed),
      nominalDemandJPerM: CALM_DEMAND * Math.exp(log),
      nominalDragJPerM: 0.5 * CALM_DEMAND,
      leftOut: null,
    }
  })
  const setups = Object.fromEntries(
    settings.setups.map(({ name, parts }) => [name, parts ?? (name === 'bare' ? [] : [name])]),
  )
  return { runs, settings: claimSettings({ setups, fillRepeatabilityLitres: fillSdLitres }) }
}

/** Setups in turn, as a careful experimenter drives them. */
function shuffledPlan({ setups }: SyntheticSettings, random: Random) {
  const plan: { setup: SyntheticSettings['setups'][number]; index: number }[] = []
  for (let index = 0; plan.length < setups.reduce((sum, s) => sum + s.runs, 0); index++) {
    const turn = setups.filter((s) => s.runs > index).map((setup) => ({ setup, index, order: random.uniform() }))
    plan.push(...turn.sort((a, b) => a.order - b.order))
  }
  return plan
}

function demandDraws(
  nominal: number,
  { shared, own }: ReturnType<typeof sensitivities>,
  runSeed: string,
  campaignSeed: string,
): Float64Array {
  const sources = Object.entries(shared).map(([name, sd]) => ({ sd, z: drawsOf(`${campaignSeed}/${name}`, DRAWS, 1) }))
  const ownDraws = drawsOf(`${runSeed}/own`, DRAWS, 1)
  return ownDraws.map((z, k) => nominal * Math.exp(own * z + sources.reduce((sum, s) => sum + s.sd * s.z[k], 0)))
}

/** Student's t with 4 degrees of freedom, scaled to unit spread. */
function heavy(random: Random): number {
  const chi = [1, 2, 3, 4].reduce((sum) => sum + random.normal() ** 2, 0)
  return random.normal() / Math.sqrt(chi / 4) / Math.SQRT2
}
