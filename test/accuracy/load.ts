import { kelvinFromCelsius } from '../../src/base/units.ts'
import { type LiquidFuel, volumeCorrectionFactor } from '../../src/claim/fuel/volume.ts'
import { demandOf } from '../../src/demand/ensemble.ts'
import { frictionAtN } from '../../src/demand/powertrains.ts'
import { dragTerm, rollingAt } from '../../src/demand/road-load.ts'
import { sharedDraws } from '../../src/demand/shared-draws.ts'
import { type Vehicle, vehicleOf } from '../../src/demand/vehicle.ts'
import { noVehicle, scene, settings } from '../demand/scene.ts'
import { absolute, type Comparison, relative } from './comparison.ts'

/** Force at the wheel at a steady speed, N: the powertrain's line taken off the demand again. */
function wheelForceN(vehicle: Vehicle, speedMps: number): number {
  const { idlePowerW, frictionN, efficiency } = vehicle.powertrain
  const { nominalJPerM } = demandOf(scene('a', { speedMps }), sharedDraws(vehicle, settings))
  return (nominalJPerM - idlePowerW.value / speedMps - frictionAtN(frictionN, speedMps)) * efficiency
}

const car = vehicleOf({ ...noVehicle, massKg: 1500, dragAreaM2: 0.65, rollingResistance: 0.01 })

/** ½ρCdA·V² + m·g·Crr at 1.189 kg/m³ on the level, hand arithmetic: km/h, N. */
const LEVEL = [
  [50, 221.64],
  [80, 337.93],
  [100, 445.27],
  [120, 576.46],
  [130, 651.0],
]

/** UN R83 / 70/220/EEC dynamometer table: inertia kg, a N, b N/(km/h)², force at 80 km/h N. */
const DYNAMOMETER = [
  [1130, 6.4, 0.0433, 284],
  [1360, 7.1, 0.0481, 315],
  [1590, 7.6, 0.0515, 338],
  [2270, 9.1, 0.0619, 405],
]
const onDynamometer = (massKg: number, aN: number, b: number): number => {
  const coastDown = {
    aN,
    bNPerMps: 0,
    cNPerMps2: b * 12.96,
    referenceTemperatureK: 293.15,
    referenceDensityKgM3: 1.189,
  }
  return wheelForceN(vehicleOf({ ...noVehicle, massKg, coastDown }), 80 / 3.6)
}

/** Va(V + h)/V² for 5 m/s of wind at 100 km/h: degrees off the course, vector arithmetic to five decimals. */
const APPARENT = [
  [0, 1.3924],
  [45, 1.27883],
  [90, 1.01607],
  [135, 0.7697],
  [180, 0.6724],
]
const dragRatio = (offDeg: number): number => {
  const v = 100 / 3.6
  const angle = (offDeg * Math.PI) / 180
  return dragTerm(v + 5 * Math.cos(angle), 5 * Math.sin(angle), 0, 0) / (v * v)
}

/** ASTM D1250 / API MPMS 11.1, table 54B at 0, 10, 20, 30 and 40 °C, from the published formula by another program. */
const TABLE_54B: [LiquidFuel, number, number[]][] = [
  ['petrol', 720, [1.01905, 1.00638, 0.9936, 0.98073, 0.96777]],
  ['petrol', 745, [1.01809, 1.00605, 0.99392, 0.98171, 0.96941]],
  ['petrol', 760, [1.01756, 1.00588, 0.9941, 0.98225, 0.97033]],
  ['diesel', 835, [1.01274, 1.00426, 0.99573, 0.98716, 0.97855]],
  ['diesel', 850, [1.01241, 1.00415, 0.99584, 0.98749, 0.97911]],
]

const LOAD: Comparison[] = [
  {
    key: 'demand.level',
    quantity: 'road load within the demand, level and calm',
    reference: '½ρCdA·V² + m·g·Crr, hand arithmetic',
    unit: 'N',
    deviations: absolute(LEVEL.map(([kmh, want]) => [wheelForceN(car, kmh / 3.6), want])),
    limit: 0.011,
    reason: 'worked to two decimals',
  },
  {
    key: 'demand.coast-down',
    quantity: 'road load within the demand, from coast-down coefficients',
    reference: 'UN R83 / 70/220/EEC dynamometer table at 80 km/h',
    unit: 'N',
    deviations: absolute(DYNAMOMETER.map(([massKg, a, b, want]) => [onDynamometer(massKg, a, b), want])),
    limit: 1,
    reason: 'the table is rounded to 1 N',
  },
  {
    key: 'demand.apparent-wind',
    quantity: 'drag in a wind over drag in a calm',
    reference: 'vector arithmetic by another program, five directions',
    unit: 'of the drag in a calm',
    deviations: absolute(APPARENT.map(([offDeg, want]) => [dragRatio(offDeg), want])),
    limit: 1e-5,
    reason: 'five decimals are given',
  },
  {
    key: 'demand.rolling-temperature',
    quantity: 'rolling resistance by temperature',
    reference: 'UN R117 Annex 6 §6.2 (8e-3 about 25 °C, valid 20 to 30 °C)',
    unit: 'relative',
    // C25 = C·(1 + 0.008·(t − 25)): both brought to what is measured at 25 °C.
    deviations: relative(
      [20, 22, 25, 28, 30].map((t) => [
        rollingAt(1, 8.6e-3, kelvinFromCelsius(t)) / rollingAt(1, 8.6e-3, kelvinFromCelsius(25)),
        1 / (1 + 0.008 * (t - 25)),
      ]),
    ),
    limit: 3e-3,
    reason: 'two regulations, 8.6e-3 and 8e-3 per kelvin about other temperatures',
  },
  {
    key: 'fuel.volume',
    quantity: 'volume of fuel at 15 °C',
    reference: 'ASTM D1250 / API MPMS 11.1, table 54B, by another program',
    unit: 'relative',
    deviations: relative(
      TABLE_54B.flatMap(([fuel, density, factors]) =>
        factors.map((want, i) => [volumeCorrectionFactor(fuel, kelvinFromCelsius(10 * i), density), want] as const),
      ),
    ),
    limit: 1.1e-5,
    reason: 'five decimals are given; the printed table has four',
  },
]
export default LOAD
