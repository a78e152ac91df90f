import { prepareField } from '../../src/air/field.ts'
import { roughnessLengthM } from '../../src/air/profile.ts'
import { seriesOf } from '../../src/air/series.ts'
import { recordOf } from '../../src/campaign/drive/run-record.ts'
import { drivesFrom, motionsIn } from '../../src/campaign/load/drive-source.ts'
import { readInputs } from '../../src/campaign/load/inputs.ts'
import { type InputFile, mapFile } from '../../src/campaign/load/map-file.ts'
import { roadsOf } from '../../src/campaign/load/routes.ts'
import { NOTHING_SAID, runsOf } from '../../src/campaign/load/runs.ts'
import { claimsOf } from '../../src/claim/claims.ts'
import type { FuelRun, Interval95 } from '../../src/claim/types.ts'
import { sharedDraws } from '../../src/demand/shared-draws.ts'
import { vehicleOf } from '../../src/demand/vehicle.ts'
import { inputFile } from '../campaign/folder.ts'
import {
  delivery,
  fillLitres,
  type RoadShape,
  simulateRoad,
  simulateRun,
  simulateWeather,
  stationReports,
  type Vehicle,
  withDrag,
} from '../simulator/index.ts'
import { randomOf } from '../simulator/random.ts'
import { claimSettings, emptyRow } from './synthetic-campaign.ts'

/** A campaign driven in the simulator, from tracks and station reports to claims: nothing is shared with the program but files. */
export interface DrivenCampaign {
  seed: string
  shape: RoadShape
  lengthM: number
  runsPerSetup: number
  /** Change of the drag area by the part, percent. */
  dragPct: number
  /** How much warmer the days with the part are. */
  warmerK?: number
  /** How much windier. */
  windierMps?: number
  chained?: boolean
  pumpFactor?: number
  fillSdLitres?: number
  sampleS?: number
  /** What the simulator's vehicle lacks: engine, battery and tyres are never twice the same; standard deviation of ln(fuel). */
  repeatability?: number
}

export interface Judged {
  truePct: number
  raw: Interval95
  adjusted: Interval95
  verdict: string
  shares: Record<string, number>
}

const DAY_S = 86_400
const FIRST_DAY = Date.parse('2025-05-02T00:00:00Z') / 1000

const CAMPAIGN = `vehicle:
  class: van
  powertrain: diesel
  mass_kg: 2400
  drag_area_m2: 1.5
terrain: roughly_open
`

/** A campaign that was driven, as the claims see it, and the true change of consumption. */
export interface Driven {
  runs: FuelRun[]
  fillSdLitres: number
  truePct: number
}

export async function drive(campaign: DrivenCampaign): Promise<Driven> {
  const { files, fuel, truePct } = drivenFiles(campaign)
  return { runs: await fuelRunsOf(files, fuel), fillSdLitres: campaign.fillSdLitres ?? 0.12, truePct }
}

export function judged({ runs, fillSdLitres, truePct }: Driven): Judged {
  const settings = claimSettings({ setups: { bare: [], part: ['part'] }, fillRepeatabilityLitres: fillSdLitres })
  const [claim] = claimsOf(runs, ['the road'], settings).claims
  if (!claim.raw || !claim.adjusted) throw new Error(`${claim.setup}: ${claim.missing?.code}`)
  return {
    truePct,
    raw: claim.raw.consumptionChangePct,
    adjusted: claim.adjusted.consumptionChangePct,
    verdict: claim.verdict,
    shares: claim.uncertaintyShares!,
  }
}

/** Weather of a setup's days: the slow part drawn, then made warmer or windier. */
function plannedWeather(c: DrivenCampaign, place: { latitudeDeg: number; longitudeDeg: number }, days: number) {
  const random = randomOf(`${c.seed}/days`)
  const knots = []
  for (let d = 0; d <= days; d++) {
    const part = c.warmerK !== undefined || c.windierMps !== undefined ? d % 2 === 1 : false
    const windSpeedMps = Math.abs(3 + 1.3 * random.normal()) + (part ? (c.windierMps ?? 0) : 0)
    const windFromDeg = random.between(0, 360)
    const base = 11 + 2.5 * random.normal() + (part ? (c.warmerK ?? 0) : 0)
    const seaLevelPressureHpa = 1015 + 7 * random.normal()
    for (const hour of [0, 6, 14, 23]) {
      const temperatureC = base + (hour === 14 ? 3 : hour === 6 ? -2 : 0)
      const turned = windFromDeg + 25 * random.normal()
      knots.push({
        timeS: FIRST_DAY + d * DAY_S + hour * 3600,
        windSpeedMps: Math.max(0.3, windSpeedMps + 0.7 * random.normal()),
        windFromDeg: (turned + 360) % 360,
        temperatureC,
        dewPointC: temperatureC - 6,
        seaLevelPressureHpa,
        rainMmPerHour: 0,
      })
    }
  }
  return simulateWeather({ seed: c.seed, ...place, knots })
}

function drivenFiles(c: DrivenCampaign): { files: InputFile[]; fuel: Map<string, FuelNote>; truePct: number } {
  const random = randomOf(`${c.seed}/plan`)
  const place = { latitudeDeg: 48 + random.normal(), longitudeDeg: 9 + 2 * random.normal() }
  const road = simulateRoad({ seed: c.seed, shape: c.shape, lengthM: c.lengthM, ...place })
  const count = 2 * c.runsPerSetup
  const weather = plannedWeather(c, place, count + 1)
  const bare: Vehicle = {
    ...delivery,
    massKg: 2400 * (1 + 0.02 * random.normal()),
    dragAreaM2: 1.5 * (1 + 0.06 * random.normal()),
    rollingResistance: 0.0095 * (1 + 0.1 * random.normal()),
  }
  const part = withDrag(bare, c.dragPct)
  const files: InputFile[] = [inputFile('campaign.yaml', CAMPAIGN)]
  const fuel = new Map<string, FuelNote>()
  const logChanges: number[] = []
  for (let i = 0; i < count; i++) {
    const withPart = i % 2 === 1
    const startS = FIRST_DAY + i * DAY_S + random.between(7, 15) * 3600
    const settings = { road, weather, startS, seed: `${c.seed}/${i}`, sampleS: c.sampleS ?? 2 }
    const run = simulateRun({ ...settings, vehicle: withPart ? part : bare })
    const other = simulateRun({ ...settings, vehicle: withPart ? bare : part })
    const [on, off] = withPart ? [run, other] : [other, run]
    logChanges.push(Math.log(on.truth.fuelEnergyJ / off.truth.fuelEnergyJ))
    files.push(inputFile(`tracks/run-${i}.gpx`, run.gpx))
    const departure = Math.exp((c.repeatability ?? 0.007) * randomOf(`${c.seed}/${i}/departure`).normal())
    const used = { ...run.truth, fuelEnergyJ: run.truth.fuelEnergyJ * departure }
    const litres = fillLitres(withPart ? part : bare, used, {
      before: c.chained ? `${c.seed}/${i - 1}/after` : `${c.seed}/${i}/before`,
      after: `${c.seed}/${i}/after`,
      repeatabilityLitres: c.fillSdLitres ?? 0.12,
      meterFactor: c.pumpFactor,
    })
    fuel.set(`tracks/run-${i}.gpx`, {
      setup: withPart ? 'part' : 'bare',
      litres,
      fillGroup: c.chained ? 'chain' : null,
    })
  }
  const end = FIRST_DAY + (count + 1) * DAY_S
  for (const [s, km, intervalMin] of [
    [1, 8, 30],
    [2, 25, 60],
  ]) {
    const angle = random.between(0, 2 * Math.PI)
    const station = {
      id: `S${s}`,
      latitudeDeg: road.latitude[road.count >> 1] + (km / 111.2) * Math.cos(angle),
      longitudeDeg: road.longitude[road.count >> 1] + (km / 74) * Math.sin(angle),
      elevationM: 300 + 40 * random.normal(),
      intervalMin,
    }
    files.push(inputFile(`weather/station-${s}.csv`, stationReports(weather, station, FIRST_DAY, end).csv()))
  }
  const truePct = 100 * Math.expm1(logChanges.reduce((sum, x) => sum + x, 0) / count)
  return { files, fuel, truePct }
}

interface FuelNote {
  setup: string
  litres: number
  fillGroup: string | null
}

/** The same steps as the pipeline's, as far as a run's demand. */
async function fuelRunsOf(files: InputFile[], fuel: Map<string, FuelNote>): Promise<FuelRun[]> {
  const mapped = files.map(mapFile).sort((a, b) => (a.path < b.path ? -1 : 1))
  const inputs = await readInputs(mapped)
  const { runs } = runsOf(mapped, NOTHING_SAID, motionsIn(mapped))
  const roads = roadsOf(runs)
  const field = prepareField(seriesOf(inputs.observations, [], inputs.stationList).series)
  const roughnessM = roughnessLengthM[inputs.campaign.terrain]
  const shared = sharedDraws(vehicleOf(inputs.campaign.vehicle), { draws: 400, seed: 1, roughnessM })
  const drives = drivesFrom(motionsIn(mapped))
  return runs.map((run, i) => {
    const record = recordOf(run, drives(run), roads.contexts[i], field, shared)
    const note = fuel.get(run.track)!
    if (!record.demand) throw new Error(`no demand for ${run.track}`)
    return {
      id: run.id,
      route: record.route,
      setup: note.setup,
      startTime: run.summary.startTime,
      endTime: run.summary.endTime,
      distanceM: run.summary.distanceM,
      row: emptyRow({ track: run.track, setup: note.setup, fuelLitres: note.litres, fillGroup: note.fillGroup }),
      demandDraws: record.demand.drawsJPerM,
      nominalDemandJPerM: record.demand.nominalJPerM,
      nominalDragJPerM: Number.NaN,
      leftOut: null,
      conditions: '',
    }
  })
}
