import type { LoggedQuantity } from '../read/types.ts'
import type { CutPart, Part } from './cut.ts'
import { rateIntegral, totalChange } from './motion/log-integral.ts'
import { type DriveLog, MOVING, type Motion } from './types.ts'

/** The ways to the fuel or the energy of a drive. */
export type LoggedWay =
  | 'fuel-rate'
  | 'fuel-mass-rate'
  | 'air-flow'
  | 'fuel-total'
  | 'voltage-and-current'
  | 'power'
  | 'energy-total'

/** What was integrated over a drive, or counted by the vehicle. */
export interface LoggedTotal {
  by: LoggedWay
  /** Litres, kilograms of fuel, kilograms of air, or watt hours out of the battery. */
  unit: 'l' | 'kg' | 'kg of air' | 'Wh'
  amount: number
  /** Standard deviation of the integration alone; the instruments' own scale is not in it. */
  sd: number
  /** What flowed back, positive; 0 of fuel. */
  regained: number
  /** Share of the drive's time with a record. */
  coveredShare: number
  /** The columns, as the file calls them. */
  names: string[]
  /** Currents were written positive into the battery, and are turned. */
  turned: boolean
  resets: number
}

/** What was logged over one drive. NaN where it was not. */
export interface LoggedOfDrive {
  quantities: { quantity: LoggedQuantity; name: string }[]
  totals: LoggedTotal[]
  /** 0 to 1, at the begin and the end. */
  chargeStart: number
  chargeEnd: number
  /** By the odometer, m, and the step in which it counts. */
  odometerM: number
  odometerStepM: number
  /** Mean while the vehicle moves: at rest its sensor is warmed by the road and the engine. */
  ambientTemperatureK: number
}

/** Voltages and currents of one moment may stand in rows so far apart, s. */
const LONGEST_PAIR_S = 5
/** A lead battery's network: what flows there drives no wheel. */
const LEAST_TRACTION_V = 18
/** From this speed on the ambient sensor is in the air that the vehicle meets, m/s. Common practice, no source. */
const AMBIENT_FROM_MPS = 8

/** Fuel, energy and the rest of what a drive's log tells; null where it has none. */
export function loggedOf(log: DriveLog | null | undefined, motion: Motion, part: CutPart | null): LoggedOfDrive | null {
  if (!log) return null
  const endTime = motion.startTime + (motion.count - 1) * motion.stepS
  const spans = spansOf({ fromTime: motion.startTime, toTime: endTime }, part?.without ?? [])
  const charge = endsOf(log, 'stateOfCharge', spans)
  const odometer = log.columns.odometerM
  const run = odometer ? totalChange(log.time, odometer.values, spans, false) : null
  return {
    quantities: Object.entries(log.columns).map(([quantity, { name }]) => ({
      quantity: quantity as LoggedQuantity,
      name,
    })),
    totals: [...fuelTotals(log, spans), ...energyTotals(log, spans, charge[1] - charge[0])],
    chargeStart: charge[0],
    chargeEnd: charge[1],
    odometerM: run && run.resets === 0 ? run.amount : Number.NaN,
    odometerStepM: run ? run.sd * Math.sqrt(6) : Number.NaN,
    ambientTemperatureK: whileMoving(log, 'ambientTemperatureK', motion),
  }
}

/** A stretch without windows in it. */
export function spansOf(whole: Part, without: readonly Part[]): Part[] {
  let spans = [whole]
  for (const window of without) {
    spans = spans.flatMap(({ fromTime, toTime }) => [
      { fromTime, toTime: Math.min(toTime, window.fromTime) },
      { fromTime: Math.max(fromTime, window.toTime), toTime },
    ])
  }
  return spans.filter(({ fromTime, toTime }) => toTime > fromTime)
}

function fuelTotals(log: DriveLog, spans: Part[]): LoggedTotal[] {
  const rate = (quantity: LoggedQuantity, by: LoggedWay, unit: LoggedTotal['unit']): LoggedTotal[] => {
    const column = log.columns[quantity]
    if (!column) return []
    const { negative: _, ...integral } = rateIntegral(log.time, column.values, spans)
    return [{ by, unit, ...integral, regained: 0, names: [column.name], turned: false, resets: 0 }]
  }
  const used = log.columns.fuelUsedL
  return [
    ...rate('fuelRateLps', 'fuel-rate', 'l'),
    ...rate('fuelRateKgps', 'fuel-mass-rate', 'kg'),
    ...(used
      ? [
          {
            by: 'fuel-total' as const,
            unit: 'l' as const,
            ...totalChange(log.time, used.values, spans, false),
            regained: 0,
            names: [used.name],
            turned: false,
          },
        ]
      : []),
    ...rate('massAirFlowKgps', 'air-flow', 'kg of air'),
  ]
}

function energyTotals(log: DriveLog, spans: Part[], chargeChange: number): LoggedTotal[] {
  const { batteryVoltageV: volts, batteryCurrentA: amps, powerW, energyUsedWh } = log.columns
  const integrated = (by: LoggedWay, watts: Float64Array, names: string[]): LoggedTotal[] => {
    const { amount, negative, sd, coveredShare } = rateIntegral(log.time, watts, spans)
    if (!Number.isFinite(amount)) return []
    // Where the charge falls, energy left the battery; without it a drive is taken to use some.
    const turned = Number.isFinite(chargeChange) ? amount * chargeChange > 0 : amount < 0
    const positive = amount - negative
    return [
      {
        by,
        unit: 'Wh',
        amount: (turned ? -amount : amount) / 3600,
        sd: sd / 3600,
        regained: (turned ? positive : -negative) / 3600,
        coveredShare,
        names,
        turned,
        resets: 0,
      },
    ]
  }
  const traction = volts && amps ? wattsOf(log.time, volts.values, amps.values) : null
  return [
    ...(traction && volts && amps ? integrated('voltage-and-current', traction, [volts.name, amps.name]) : []),
    ...(powerW ? integrated('power', powerW.values, [powerW.name]) : []),
    ...(energyUsedWh
      ? [
          {
            by: 'energy-total' as const,
            unit: 'Wh' as const,
            ...totalChange(log.time, energyUsedWh.values, spans, true),
            regained: 0,
            names: [energyUsedWh.name],
            turned: false,
          },
        ]
      : []),
  ]
}

/** Volts times amperes where a current was logged, with the voltage of the moment; null of a lead battery's network. */
function wattsOf(time: Float64Array, volts: Float64Array, amps: Float64Array): Float64Array | null {
  const watts = new Float64Array(time.length).fill(Number.NaN)
  let [last, highest] = [-1, 0]
  for (let i = 0; i < time.length; i++) {
    if (!Number.isNaN(volts[i])) {
      last = i
      highest = Math.max(highest, volts[i])
    }
    if (last >= 0 && time[i] - time[last] <= LONGEST_PAIR_S) watts[i] = volts[last] * amps[i]
  }
  return highest < LEAST_TRACTION_V ? null : watts
}

/** The first and the last value of a quantity within stretches of time. */
function endsOf(log: DriveLog, quantity: LoggedQuantity, spans: readonly Part[]): [number, number] {
  const values = log.columns[quantity]?.values
  const known: number[] = []
  for (let i = 0; values && i < values.length; i++) {
    if (Number.isNaN(values[i]) || !spans.some((s) => log.time[i] >= s.fromTime - 1 && log.time[i] <= s.toTime + 1))
      continue
    known.push(values[i])
  }
  return [known[0] ?? Number.NaN, known[known.length - 1] ?? Number.NaN]
}

function whileMoving(
  log: DriveLog,
  quantity: LoggedQuantity,
  { startTime, stepS, count, state, speedMps }: Motion,
): number {
  const values = log.columns[quantity]?.values
  let [sum, n] = [0, 0]
  for (let i = 0; values && i < values.length; i++) {
    const k = Math.round((log.time[i] - startTime) / stepS)
    if (Number.isNaN(values[i]) || !(k >= 0 && k < count) || state[k] !== MOVING || speedMps[k] < AMBIENT_FROM_MPS)
      continue
    sum += values[i]
    n++
  }
  return n > 0 ? sum / n : Number.NaN
}
