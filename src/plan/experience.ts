import { mean, median, standardDeviation } from '../base/statistics.ts'
import { drivesOfClaims } from '../campaign/claims/claims.ts'
import { claimSettings } from '../campaign/claims/fuel-runs.ts'
import type { WorkingState } from '../campaign/computed-campaign.ts'
import { withTrueMotion } from '../campaign/pairs/true-motion.ts'
import { claimsOf } from '../claim/claims.ts'
import { type ReadingKind, WAYS } from '../claim/evidence/ways.ts'
import type { RunConsumption } from '../claim/fuel/consumption.ts'
import { FUEL_PROPERTIES } from '../claim/fuel/volume.ts'
import { REPEATABILITY_PRIOR, type Repeatability } from '../claim/model/repeatability.ts'
import type { Lesson } from '../report/words/plans/repeats.ts'
import { type MeasuringWay, type PlannedShape, type ReadAsWell, tellsMore } from './choices.ts'
import { type RepeatabilityBelief, usualRepeatability } from './design.ts'

/** What earlier runs teach for planning the next ones; null where they do not tell. */
export interface Experience {
  lengthM: number
  shape: PlannedShape
  way: MeasuringWay | null
  fuel: 'petrol' | 'diesel'
  per100Km: number | undefined
  fillSdLitres: number | null
  meterTolerancePct: number | null
  temperatureRead: boolean
  /** What most drives have beside their fuel. */
  also: ReadAsWell | null
  conditionsSd: number | null
  repeatability: RepeatabilityBelief | null
  /** What was learnt. */
  lessons: Lesson[]
}

/**
 * Roads, measuring, conditions and repeatability of a campaign, through its claims.
 * @param fuelKind what is burnt, where it is stated; or else by the campaign's powertrain
 */
export function experienceOf(state: WorkingState, fuelKind?: Experience['fuel']): Experience {
  const { campaign, roads } = state
  const records = withTrueMotion(state.records, state.shared)
  const options = { draws: 400, seed: 1, correctDrift: false, poolRoutes: false, worth: null }
  const settings = claimSettings(campaign, options)
  const routeNames = [...roads.names]
  const { consumptions, repeatability } = claimsOf(
    drivesOfClaims({ ...state, records }, routeNames, options),
    routeNames,
    settings,
  )
  const counted = consumptions.filter(({ run }) => run.leftOut === null)
  const route = mostDriven((counted.length > 0 ? counted.map(({ run }) => run) : records).map((drive) => drive.route))
  const onRoute = counted.filter(({ run }) => run.route === route)
  const { shape, lengthM } = roadOf(route, state, onRoute)
  const conditionsSd = ownConditionsSd(onRoute)
  const fuel = fuelKind ?? (campaign.vehicle.powertrain === 'diesel' ? 'diesel' : 'petrol')
  const spread = repeatability?.adjusted
  const drives = onRoute.length > 0 ? onRoute.length : records.filter((r) => r.route === route).length
  const lessons: Lesson[] = [{ about: 'road', drives, road: routeNames[route], lengthM, shape }]
  if (spread && spread.degreesOfFreedom > 0) lessons.push(...lessonsOfRepeats(spread))
  else lessons.push({ about: 'usual-repeatability', for: hasRepeats(onRoute) ? 'no-weather' : 'no-repeats' })
  if (onRoute.some((c) => c.unit === 'kg')) {
    const source = fuelKind ? 'stated' : campaign.vehicle.powertrain ? 'settings' : 'assumed'
    lessons.push({ about: 'weighed', fuel, source, densityKgM3: FUEL_PROPERTIES[fuel].density15KgM3 })
  }
  const way = wayOf(onRoute) ?? (state.shared.vehicle.powertrain.kind === 'electric' ? 'battery' : null)
  const beside = readAsWell(onRoute)
  const also = beside !== null && way !== null && tellsMore(beside, way) ? beside : null
  if (also !== null) lessons.push({ about: 'read-as-well', also })
  return {
    lengthM,
    shape: shape === 'loop' ? 'loop' : shape === 'one-way' ? 'one-way' : 'there-and-back',
    way,
    fuel,
    per100Km: onRoute.length > 0 ? litresOrKwh(onRoute, fuel) : undefined,
    fillSdLitres: campaign.fuel.fillRepeatabilityLitres,
    meterTolerancePct: campaign.fuel.meterTolerancePct,
    temperatureRead: onRoute.length > 0 && onRoute.every((c) => Number.isFinite(c.run.row.fuelTemperatureK)),
    also,
    conditionsSd,
    repeatability:
      spread && spread.degreesOfFreedom > 0
        ? {
            sd: rootMeanSquare(spread.draws),
            priorSd: spread.median,
            degreesOfFreedom: REPEATABILITY_PRIOR.degreesOfFreedom + spread.degreesOfFreedom,
          }
        : null,
    lessons,
  }
}

/** The road with the most drives, the first of those that have as many. */
function mostDriven(routes: readonly number[]): number {
  const countOf = (route: number): number => routes.filter((one) => one === route).length
  return routes.reduce((most, next) => (countOf(next) > countOf(most) ? next : most), routes[0])
}

/**
 * Length and shape of what is driven between two readings of the fuel: the road, or as much of its laps, or of the chain of
 * roads, as was measured together.
 */
function roadOf(
  route: number,
  { roads: { routes } }: WorkingState,
  consumptions: readonly RunConsumption[],
): Pick<(typeof routes)[number], 'shape' | 'lengthM'> {
  const road = routes[route] ?? null
  const drivenM = consumptions.length > 0 ? median(consumptions.map(({ run }) => run.distanceM)) : null
  if (road !== null && (drivenM === null || drivenM < LAPS_FROM * road.lengthM)) return road
  return { shape: road?.shape ?? 'there-and-back', lengthM: drivenM ?? Number.NaN }
}

/** So many times the road's length is more than one lap of it. */
const LAPS_FROM = 1.5

/** Whether two drives of one setup have fuel: without repeatability, what they lack is weather. */
function hasRepeats(consumptions: RunConsumption[]): boolean {
  const setups = consumptions.flatMap(({ run }) => run.setup ?? [])
  return new Set(setups).size < setups.length
}

function wayOf(consumptions: RunConsumption[]): MeasuringWay | null {
  if (consumptions.length === 0) return null
  const { unit } = consumptions[0]
  if (unit === 'kWh') return 'battery'
  if (unit === 'kg') return 'scale'
  const groups = consumptions.map((c) => c.run.row.fillGroup)
  const chained = groups.filter((g) => g !== null && groups.filter((other) => other === g).length > 1)
  return chained.length > groups.length / 2 ? 'chained' : 'pump'
}

function readAsWell(consumptions: RunConsumption[]): ReadAsWell | null {
  const most = (way: ReadingKind): boolean =>
    2 * consumptions.filter(({ run }) => WAYS[way].read(run) > 0).length > consumptions.length
  return most('trip computer') ? 'trip-computer' : most('logged fuel') ? 'logged' : null
}

/** Repeats fewer than this many degrees of freedom say less than what is believed of any vehicle beforehand. */
const FEW = REPEATABILITY_PRIOR.degreesOfFreedom

/** As the planner's usual repeatability is told: doubt about its size counts, which the median would leave out. */
const rootMeanSquare = (draws: Float64Array): number => Math.sqrt(mean(draws.map((sd) => sd * sd)))

function lessonsOfRepeats({ draws, low95, high95, degreesOfFreedom }: Repeatability): Lesson[] {
  const repeats = Math.round(degreesOfFreedom)
  const seen: Lesson = {
    about: 'repeatability',
    sd: rootMeanSquare(draws),
    low95,
    high95,
    degreesOfFreedom: repeats,
  }
  return repeats >= FEW ? [seen] : [seen, { about: 'few-repeats', low95, high95, usualSd: usualRepeatability().sd }]
}

/** A weighed consumption is told in litres, as the planner's own figures are. */
function litresOrKwh(consumptions: RunConsumption[], fuel: Experience['fuel']): number {
  const perKm = mean(consumptions.map((c) => (1e5 * c.reading.amount) / c.distanceM))
  return consumptions[0].unit === 'kg' ? perKm / (FUEL_PROPERTIES[fuel].density15KgM3 / 1000) : perKm
}

/** Typical standard deviation of a run's conditions against the mean of all; null with fewer than two such runs. */
function ownConditionsSd(consumptions: RunConsumption[]): number | null {
  const errors = consumptions.flatMap((c) => (c.conditions ? [c.conditions] : []))
  if (errors.length < 2) return null
  const centre = errors[0].map((_, k) => errors.reduce((sum, e) => sum + e[k], 0) / errors.length)
  const unbiased = Math.sqrt(errors.length / (errors.length - 1))
  return unbiased * median(errors.map((e) => standardDeviation(e.map((value, k) => value - centre[k]))))
}
