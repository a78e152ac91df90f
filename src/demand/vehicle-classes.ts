import type { Powertrain, VehicleClass } from '../read/campaign/settings.ts'

/** A value with its standard deviation. */
export interface Uncertain {
  value: number
  sd: number
}

/**
 * How much easier warmer tyres roll, per kelvin about 20 °C. UN R117 has 0.008 for car tyres, 0.010 for those of vans and
 * light lorries, 0.006 for those of heavy ones, about 25 °C, which is 0.0083, 0.0105 and 0.0062 about 20 °C; the whole
 * vehicles of UN GTR 15 have 0.0086. The deviation is that of tyres of one class.
 * @source UN R117 Annex 6 §6.2 (C1; C2 and C3 up to index 121; C3 above); UN GTR 15 Annex 4 §4.5 (K0), both from memory
 */
const TYRES = {
  car: { value: 8.6e-3, sd: 1.8e-3 },
  van: { value: 10.5e-3, sd: 2.2e-3 },
  heavy: { value: 6.2e-3, sd: 1.5e-3 },
  // Thin tyres take up the temperature of the air; nothing published is known. Common practice, no source.
  light: { value: 8.6e-3, sd: 4e-3 },
} satisfies Record<string, Uncertain>

/** Relative standard deviations of what is not stated; common practice, no source. */
const USUAL = { mass: 0.05, dragArea: 0.1, rolling: 0.15 }
/** Riders sit high or low, and tyres of bicycles differ by a factor of two. */
const WIDE = { mass: 0.1, dragArea: 0.25, rolling: 0.3 }

/** What is taken of a vehicle of which nothing else is stated. */
export interface ClassValues {
  /** With driver. */
  massKg: number
  /** Vehicles of the class weigh between these. */
  massesKg: readonly [number, number]
  dragAreaM2: number
  rolling: number
  relativeSd: typeof USUAL
  rollingTemperaturePerK: Uncertain
  /** Relative rise of the drag area at 10° of yaw. */
  yawRise: Uncertain
  /** Share of the mass that the turning parts add in acceleration. */
  rotatingShare: number
  /** Height at which the wind acts, m. */
  heightM: number
  powertrain: Powertrain
}

const ofCar = (
  massKg: number,
  massesKg: ClassValues['massesKg'],
  dragAreaM2: number,
  rolling: number,
  heightM: number,
): ClassValues => ({
  massKg,
  massesKg,
  dragAreaM2,
  rolling,
  heightM,
  relativeSd: USUAL,
  rollingTemperaturePerK: TYRES.car,
  yawRise: { value: 0.06, sd: 0.03 },
  rotatingShare: 0.03,
  powertrain: 'petrol',
})

const ofLight = (
  massKg: number,
  massesKg: ClassValues['massesKg'],
  dragAreaM2: number,
  rolling: number,
  heightM: number,
  powertrain: Powertrain,
): ClassValues => ({
  ...ofCar(massKg, massesKg, dragAreaM2, rolling, heightM),
  relativeSd: WIDE,
  rollingTemperaturePerK: TYRES.light,
  yawRise: { value: 0, sd: 0.05 },
  rotatingShare: 0.015,
  powertrain,
})

const LIKE_VANS = { rollingTemperaturePerK: TYRES.van, yawRise: { value: 0.15, sd: 0.08 } }

/**
 * Middle values of current vehicles: mass with driver, kg, from and to; drag area, m²; rolling resistance; height of the
 * wind's action, m. Common practice, no source, but for: the rise of drag with yaw, 15 to 30 % at 10° for vans and lorries
 * and 2 to 12 % for cars (from memory); bicycles' drag area of 0.4 to 0.65 m² upright and rolling of 0.003 to 0.008
 * (Wilson, Bicycling Science, from memory); rotating masses, 3 % (SAE J2263 as summarised by tnlab.org; UN GTR 15 Annex 4,
 * from memory).
 */
export const CLASSES: Record<VehicleClass, ClassValues> = {
  small_car: ofCar(1100, [500, 1600], 0.62, 0.01, 0.75),
  car: ofCar(1500, [900, 2600], 0.65, 0.01, 0.75),
  suv: ofCar(1900, [1200, 3500], 0.85, 0.01, 0.9),
  van: { ...ofCar(2300, [1200, 6000], 1.5, 0.0095, 1.2), ...LIKE_VANS },
  pickup: {
    ...ofCar(2200, [1200, 4500], 1.1, 0.011, 1),
    rollingTemperaturePerK: TYRES.van,
    yawRise: { value: 0.08, sd: 0.05 },
  },
  motorhome: { ...ofCar(3400, [1800, 9000], 2.4, 0.0095, 1.5), ...LIKE_VANS },
  truck: {
    ...ofCar(18_000, [3500, 60_000], 5.5, 0.0065, 2),
    rollingTemperaturePerK: TYRES.heavy,
    yawRise: { value: 0.2, sd: 0.08 },
  },
  motorcycle: ofCar(280, [130, 550], 0.4, 0.016, 0.8),
  bicycle: ofLight(88, [40, 250], 0.5, 0.0055, 1.1, 'human'),
  electric_bicycle: ofLight(105, [50, 350], 0.55, 0.006, 1.1, 'electric'),
  velomobile: ofLight(112, [60, 250], 0.08, 0.005, 0.6, 'human'),
  efficiency_car: ofLight(105, [40, 250], 0.03, 0.0015, 0.4, 'electric'),
  solar_car: ofLight(290, [150, 800], 0.13, 0.003, 0.6, 'electric'),
}

/** A class that an unstated vehicle may be of, with its probability. */
export interface ClassChance {
  class: VehicleClass
  probability: number
}

/**
 * What a vehicle may be of which nothing is stated, from light to heavy, with the probability of each before
 * its drives are seen. Common practice, no source: more of them are cars on the road, but a campaign may well be of lorries.
 */
export const UNSTATED: readonly ClassChance[] = [
  { class: 'motorcycle', probability: 0.03 },
  { class: 'small_car', probability: 0.16 },
  { class: 'car', probability: 0.3 },
  { class: 'suv', probability: 0.14 },
  { class: 'pickup', probability: 0.06 },
  { class: 'van', probability: 0.13 },
  { class: 'motorhome', probability: 0.05 },
  { class: 'truck', probability: 0.13 },
]

/** Idling and friction grow with the mass up to that of a small lorry, kg. Common practice, no source. */
const MOST_ENGINE_KG = 4000

/** Mass that idling and friction go with, kg. */
export const engineKg = (massKg: number): number => Math.min(massKg, MOST_ENGINE_KG)

/** The same of drives that no car makes: by their energy, or by their motion. Common practice, no source. */
const UNSTATED_LIGHT: Partial<Record<VehicleClass, typeof UNSTATED>> = {
  electric_bicycle: [
    { class: 'motorcycle', probability: 0.1 },
    { class: 'solar_car', probability: 0.1 },
    { class: 'efficiency_car', probability: 0.1 },
    { class: 'velomobile', probability: 0.1 },
    { class: 'electric_bicycle', probability: 0.6 },
  ],
  bicycle: [
    { class: 'velomobile', probability: 0.1 },
    { class: 'electric_bicycle', probability: 0.4 },
    { class: 'bicycle', probability: 0.5 },
  ],
}

/** The classes that are drawn where one is taken without being stated. */
export const drawnClasses = (taken: VehicleClass): typeof UNSTATED => UNSTATED_LIGHT[taken] ?? UNSTATED

export const VEHICLE_CLASSES = Object.keys(CLASSES) as VehicleClass[]

/** Whether others add to what its battery gives: a rider, or the sun. */
export const isHelped = (of: VehicleClass): boolean =>
  of === 'bicycle' || of === 'electric_bicycle' || of === 'velomobile' || of === 'solar_car'

/** What is known of a vehicle; null where it is not stated. */
interface Stated {
  massKg: number | null
  dragAreaM2: number | null
  powertrain: Powertrain | null
}

/** A drag area so many times that of its class, or so small a part of it, is another class's. */
const MOST_OF_CLASS = 2.2

/** Whether the stated figures are not those of a class. */
export function contradicts({ massKg, dragAreaM2 }: Stated, of: VehicleClass): boolean {
  const { massesKg, dragAreaM2: usualM2 } = CLASSES[of]
  const [least, most] = massesKg
  const isOutside = massKg !== null && (massKg < least || massKg > most)
  return isOutside || (dragAreaM2 !== null && Math.abs(Math.log(dragAreaM2 / usualM2)) > Math.log(MOST_OF_CLASS))
}

const LIGHT: readonly VehicleClass[] = ['bicycle', 'electric_bicycle', 'velomobile', 'efficiency_car', 'solar_car']
const RARE: readonly VehicleClass[] = ['velomobile', 'efficiency_car', 'solar_car']
/** By so much nearer, as a logarithm, a rare class must lie to be taken. */
const RARE_BY = 0.5

/** Whether vehicles of a class are driven so. */
export function isDrivenBy(kind: Powertrain, of: VehicleClass): boolean {
  if (kind === 'electric') return true
  if (kind === 'human') return of === 'bicycle' || of === 'velomobile'
  return !LIGHT.includes(of) || of === 'efficiency_car'
}

/** The class whose mass and drag area lie nearest to the stated ones. */
export function classOfSize({ massKg, dragAreaM2, powertrain }: Stated): VehicleClass {
  const away = (of: VehicleClass): number => {
    const { massKg: usualKg, dragAreaM2: usualM2 } = CLASSES[of]
    const mass = massKg === null ? 0 : Math.abs(Math.log(massKg / usualKg))
    const area = dragAreaM2 === null ? 0 : Math.abs(Math.log(dragAreaM2 / usualM2))
    return mass + area + (RARE.includes(of) ? RARE_BY : 0)
  }
  const possible = VEHICLE_CLASSES.filter((of) => powertrain === null || isDrivenBy(powertrain, of))
  return possible.reduce((best, next) => (away(next) < away(best) ? next : best))
}
