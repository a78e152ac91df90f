import type { InputFile } from '../../src/campaign/load/map-file.ts'
import type { Pull, TrueMotion } from '../simulator/driver.ts'
import {
  asBuilt,
  type RoadSettings,
  type RoadShape,
  simulateRoad,
  simulateRun,
  simulateWeather,
  stationReports,
  type Truth,
  type Vehicle,
  type WeatherSettings,
} from '../simulator/index.ts'
import { randomOf } from '../simulator/random.ts'
import { type TrueDrive, type TrueShares, trueDrive, trueShares } from '../simulator/shares.ts'
import { truthOf } from '../simulator/vehicle.ts'
import { inputFile, reportOf } from './folder.ts'

const DAY_S = 86_400
const FIRST_DAY = Date.parse('2025-05-02T00:00:00Z') / 1000

export interface SimulatedCampaign {
  seed: string
  shape: RoadShape
  lengthM: number
  runs: number
  vehicle: Vehicle
  /** As campaign.yaml would say it: what the experimenter knows of the vehicle, which is not the truth. */
  campaign: string
  sampleS?: number
  /** Where the stations stand; by default 8 km (each half hour) and 25 km away (each hour). */
  stations?: readonly { km: number; intervalMin: number }[]
  weather?: Pick<WeatherSettings, 'windScale' | 'mesoscale' | 'lasting' | 'meanTemperatureC'>
  road?: Pick<RoadSettings, 'exposure' | 'gradeSd' | 'landCover' | 'limitMps'>
  /** Preferred speeds as a share of the limit, taken in turn by the runs; by default 1. */
  paces?: readonly number[]
  /** What the engine can do with the vehicle's mass; by default a car's. */
  pull?: Pull
  /** By how much the days of runs are warmer than drawn, K, taken in turn. */
  warmerK?: readonly number[]
  /** The vehicle as it truly was in a run; by default the campaign's. */
  vehicleIn?: (run: number) => Vehicle
  /** Whether the air of a run is as damp as air over wet roads is, taken in turn. */
  damp?: readonly (0 | 1)[]
  /** Whether stations tell what fell; by default they do. */
  precipitation?: boolean
  /** Scale of the logger's errors. */
  noise?: number
}

const USUAL_STATIONS = [
  { km: 8, intervalMin: 30 },
  { km: 25, intervalMin: 60 },
]

/** Weather as uneven as stations are: see `lasting` in the simulator's weather. */
const LASTING = 1

/** A clear noon warms tyres so, K: roads in the sun are 10 to 20 K warmer than the air. Common practice, no source. */
const SUN_K = 6

/**
 * How far the dew point lies below the temperature over wet roads, K: in hours above 0 °C with rain in the last two, at O'Hare
 * from January to April 2014, 1.6, 3.3 and 7.3 in 5, 50 and 95 % of 136 (NOAA NCEI, station 725300).
 */
const DAMP_SPREAD = { medianK: 3.3, logSd: 0.45 }

/** A pair of runs with what the tool says and what is true, percent. */
export interface JudgedPair {
  pair: string
  meanPct: number
  low90Pct: number
  high90Pct: number
  truePct: number
  verdict: string
}

/** Tracks and station reports of runs on different days, with what is true of each, and of another vehicle in its place. */
export function simulatedFiles(settings: SimulatedCampaign): {
  files: InputFile[]
  truths: Truth[]
  truthWith: (run: number, vehicle: Vehicle) => Truth
  /** What each condition truly makes of the difference of two runs. */
  sharesOf: (a: number, b: number) => TrueShares
} {
  const { seed, shape, lengthM } = settings
  /** Of one factory through the whole campaign, and among other traffic. */
  const driven = (one: Vehicle): Vehicle => asBuilt({ slipstream: 1, ...one }, seed)
  const vehicle = driven(settings.vehicle)
  const random = randomOf(`${seed}/plan`)
  const place = { latitudeDeg: 48 + random.normal(), longitudeDeg: 9 + 2 * random.normal() }
  const road = simulateRoad({ seed, shape, lengthM, ...place, ...settings.road })
  const files: InputFile[] = [inputFile('campaign.yaml', settings.campaign)]
  const runs: { motion: TrueMotion; startS: number; truth: Truth }[] = []
  const days = settings.runs * 3 + 1
  const { warmerK, damp } = settings
  const turnOf = (timeS: number): number => Math.max(0, Math.floor((timeS - FIRST_DAY) / DAY_S / 3))
  const dampness = randomOf(`${seed}/dampness`)
  const spreads = Array.from({ length: settings.runs + 1 }, (_, run) =>
    damp?.[run % damp.length] === 1 ? DAMP_SPREAD.medianK * Math.exp(DAMP_SPREAD.logSd * dampness.normal()) : null,
  )
  const weather = simulateWeather({
    seed,
    ...place,
    startTimeS: FIRST_DAY,
    days,
    sunK: SUN_K,
    lasting: LASTING,
    ...settings.weather,
    spreadK: (timeS) => spreads[turnOf(timeS)] ?? null,
    ...(warmerK && { warmerK: (timeS) => warmerK[turnOf(timeS) % warmerK.length] }),
  })
  for (let i = 0; i < settings.runs; i++) {
    const startS = FIRST_DAY + i * 3 * DAY_S + (5 + 12 * random.between(0, 1)) * 3600
    const pace = settings.paces?.[i % settings.paces.length]
    const run = simulateRun({
      road,
      weather,
      vehicle: settings.vehicleIn ? driven(settings.vehicleIn(i)) : vehicle,
      startS,
      seed: `${seed}/${i}`,
      sampleS: settings.sampleS,
      driver: { pace, pull: settings.pull },
      device: { noise: settings.noise },
    })
    files.push(inputFile(`tracks/run-${i}.gpx`, run.gpx))
    runs.push({ ...run, startS })
  }
  const end = FIRST_DAY + (settings.runs * 3 + 1) * DAY_S
  for (const [n, { km, intervalMin }] of (settings.stations ?? USUAL_STATIONS).entries()) {
    const angle = random.between(0, 2 * Math.PI)
    const station = {
      id: `S${n + 1}`,
      latitudeDeg: road.latitude[road.count >> 1] + (km / 111.2) * Math.cos(angle),
      longitudeDeg: road.longitude[road.count >> 1] + (km / 74) * Math.sin(angle),
      elevationM: 300 + 40 * random.normal(),
      intervalMin,
    }
    files.push(
      inputFile(
        `weather/station-${n + 1}.csv`,
        stationReports(weather, station, FIRST_DAY, end).csv({ precipitation: settings.precipitation }),
      ),
    )
  }
  const drives = new Map<number, TrueDrive>()
  const drive = (i: number): TrueDrive => {
    const found = drives.get(i) ?? trueDrive(road, weather, vehicle, { ...runs[i], seed: `${seed}/${i}` })
    drives.set(i, found)
    return found
  }
  return {
    files,
    truths: runs.map(({ truth }) => truth),
    truthWith: (i, other) => truthOf(road, runs[i].motion, weather, driven(other), runs[i].startS, `${seed}/${i}`),
    sharesOf: (a, b) => trueShares(road, vehicle, drive(a), drive(b)),
  }
}

/** Runs of one unchanged vehicle on different days, judged by the whole tool from tracks and station reports alone. */
export async function judge(settings: SimulatedCampaign): Promise<JudgedPair[]> {
  const { seed } = settings
  const { files, truths } = simulatedFiles(settings)
  const report = await reportOf(files)
  const truthOf = (id: string): number => truths[Number(id.slice('run-'.length))].demandJPerM
  return report.pairs.map((pair) => {
    if (!pair.difference_pct) throw new Error(`${seed}: ${pair.a} and ${pair.b} were not compared: ${pair.reason}`)
    return {
      pair: `${seed} ${pair.a} ${pair.b}`,
      meanPct: pair.difference_pct.mean,
      low90Pct: pair.difference_pct.low90,
      high90Pct: pair.difference_pct.high90,
      truePct: 100 * (truthOf(pair.b) / truthOf(pair.a) - 1),
      verdict: pair.verdict,
    }
  })
}

export interface Score {
  pairs: number
  /** Share of pairs whose 90 % interval holds the truth. */
  coverage: number
  rmsErrorPct: number
  rmsTruePct: number
  meanHalfWidthPct: number
}

export function scoreOf(pairs: JudgedPair[]): Score {
  const rms = (of: (p: JudgedPair) => number): number =>
    Math.sqrt(pairs.reduce((sum, p) => sum + of(p) ** 2, 0) / pairs.length)
  return {
    pairs: pairs.length,
    coverage: pairs.filter((p) => p.low90Pct <= p.truePct && p.truePct <= p.high90Pct).length / pairs.length,
    rmsErrorPct: rms((p) => p.meanPct - p.truePct),
    rmsTruePct: rms((p) => p.truePct),
    meanHalfWidthPct: pairs.reduce((sum, p) => sum + (p.high90Pct - p.low90Pct) / 2, 0) / pairs.length,
  }
}
