import type { InputFile } from '../../src/campaign/load/map-file.ts'
import { delivery, simulateRoad, simulateRun, simulateWeather, stationReports, withDrag } from '../simulator/index.ts'
import { randomOf } from '../simulator/random.ts'
import { inputFile } from './folder.ts'

const HOUR = 3600
const FIRST = Date.parse('2025-05-02T06:00:00Z') / 1000
/** Lower heating value of diesel in the simulator, MJ per litre. */
const MJ_PER_LITRE = 35.8

export interface LogSettings {
  seed: string
  /** Drives of the test road with each setup, in turn. */
  each: number
  dragPct: number
  /** A third as long again is driven on another road between two fills. */
  other?: 'recorded' | 'not recorded'
  /** Every second fill is partial. */
  partial?: boolean
  fillSdLitres?: number
  lengthM?: number
}

/** One fill as it truly was. */
export interface TrueFill {
  timeS: number
  odometerM: number
  litres: number
  full: boolean
  setup: string
}

export interface SimulatedLog {
  /** Tracks, weather and campaign.yaml. */
  files: InputFile[]
  /** The first one fills the tank before any drive. */
  fills: TrueFill[]
  /** Litres that each drive truly took, by file name. */
  litres: Map<string, number>
  setups: Map<string, string>
  /** Change of consumption that the part truly made over the test road's drives: the same drives with and without it. */
  truePct: number
}

const campaignYaml = (fillSd: number): string => `baseline: bare
setups: {bare: [], part: [skirts]}
vehicle: {class: van, powertrain: diesel, mass_kg: 2400, drag_area_m2: 1.5}
fuel: {fill_repeatability_l: ${fillSd}}
`

/** A van that is driven, filled and driven again; what the pump shows has the errors of both levels. */
export function simulatedLog(settings: LogSettings): SimulatedLog {
  const { seed, each, dragPct, other, partial, fillSdLitres = 0.02, lengthM = 25_000 } = settings
  const place = { latitudeDeg: 48.1, longitudeDeg: 9.2 }
  const road = simulateRoad({ seed: `${seed}/road`, shape: 'loop', lengthM, ...place })
  // Recorded other driving is on a new road each time; what is not recorded is as long each time.
  const elsewhere = (i: number) =>
    other === 'recorded'
      ? simulateRoad({ seed: `${seed}/other-${i}`, shape: 'loop', lengthM: (lengthM * (2 + (i % 3))) / 8, ...place })
      : simulateRoad({ seed: `${seed}/other`, shape: 'loop', lengthM: lengthM / 3, ...place })
  const weather = simulateWeather({ seed, ...place, startTimeS: FIRST - 6 * HOUR, days: each * 2 + 2 })
  const vehicles = { bare: delivery, part: withDrag(delivery, dragPct) }
  const random = randomOf(`${seed}/log`)
  const files = [inputFile('campaign.yaml', campaignYaml(fillSdLitres))]
  const litres = new Map<string, number>()
  const setups = new Map<string, string>()
  const logs = { bare: [] as number[], part: [] as number[] }
  let odometerM = 31_415_000
  let level = fillSdLitres * random.normal()
  const fills: TrueFill[] = [{ timeS: FIRST - HOUR, odometerM, litres: 20, full: true, setup: 'bare' }]
  let missing = 0
  const drive = (on: typeof road, name: string, startS: number, setup: 'bare' | 'part', record: boolean): number => {
    const run = simulateRun({
      road: on,
      weather,
      vehicle: vehicles[setup],
      startS,
      seed: `${seed}/${name}`,
      sampleS: 2,
    })
    const used = run.truth.fuelEnergyJ / 1e6 / MJ_PER_LITRE
    if (record) files.push(inputFile(`${name}.gpx`, run.gpx))
    if (on === road) {
      for (const [kind, vehicle] of Object.entries(vehicles)) {
        const as = simulateRun({ road: on, weather, vehicle, startS, seed: `${seed}/${name}`, sampleS: 60 }).truth
        logs[kind as 'bare' | 'part'].push(Math.log(as.demandJPerM))
      }
    }
    litres.set(`${name}.gpx`, used)
    setups.set(`${name}.gpx`, setup)
    odometerM += run.truth.distanceM
    missing += used
    return run.endS
  }
  for (let i = 0; i < 2 * each; i++) {
    const setup = i % 2 === 0 ? 'bare' : 'part'
    const startS = FIRST + i * 24 * HOUR + 4 * HOUR * random.between(0, 1)
    let endS = drive(road, `run-${i}`, startS, setup, true)
    if (other) endS = drive(elsewhere(i), `else-${i}`, endS + HOUR, setup, other === 'recorded')
    if (partial && i % 2 === 1) {
      const part = missing / 2
      fills.push({ timeS: endS + 1800, odometerM, litres: part, full: false, setup })
      missing -= part
      endS = drive(road, `again-${i}`, endS + HOUR, setup, true)
    }
    const next = fillSdLitres * random.normal()
    fills.push({ timeS: endS + 1800, odometerM, litres: missing + next - level, full: true, setup })
    level = next
    missing = 0
  }
  const station = { id: 'S1', latitudeDeg: 48.15, longitudeDeg: 9.3, elevationM: 310, intervalMin: 30 }
  const days = stationReports(weather, station, FIRST - 3 * HOUR, FIRST + (2 * each + 1) * 24 * HOUR)
  files.push(inputFile('station.csv', days.csv()))
  const mean = (values: number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length
  return { files, fills, litres, setups, truePct: 100 * Math.expm1(mean(logs.part) - mean(logs.bare)) }
}

/** The log as somebody writes it down: whole kilometres, hundredths of a litre. */
export function fillsCsv(fills: readonly TrueFill[], { miles = false, setups = true } = {}): string {
  const distance = (m: number): string => (m / (miles ? 1609.344 : 1000)).toFixed(0)
  const head = `time,odometer_${miles ? 'mi' : 'km'},fuel_l,full,pump${setups ? ',setup' : ''}\n`
  const rows = fills.map(
    ({ timeS, odometerM, litres, full, setup }) =>
      `${new Date(timeS * 1000).toISOString()},${distance(odometerM)},${litres.toFixed(2)},${full ? 'yes' : 'no'},corner${setups ? `,${setup}` : ''}`,
  )
  return `${head}${rows.join('\n')}\n`
}

/** The same as a row a drive, where every drive was filled after. */
export function runsCsv({ fills }: SimulatedLog): string {
  const rows = fills.slice(1).map(({ litres, setup }, i) => `run-${i}.gpx,${setup},${litres.toFixed(2)},chain`)
  return `track,setup,fuel_l,fill_group\n${rows.join('\n')}\n`
}
