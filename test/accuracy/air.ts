import { Body, Equator, Horizon, Observer } from 'astronomy-engine'
import psychrolib from 'psychrolib'
import { airDensityKgM3 } from '../../src/air/density.ts'
import {
  dewPointK,
  relativeHumidityFrom,
  saturationPressureCipmPa,
  saturationPressurePa,
} from '../../src/air/humidity.ts'
import { standardPressurePa, stationPressureFromAltimeter } from '../../src/air/pressure.ts'
import { windProfileFactor } from '../../src/air/profile.ts'
import { sunAt } from '../../src/air/sun.ts'
import { crosswindMps, headwindMps, windVector } from '../../src/air/wind.ts'
import { celsiusFromKelvin, kelvinFromCelsius, MPS_PER_KNOT, radians, turnDegrees } from '../../src/base/units.ts'
import { absolute, type Comparison, relative } from './comparison.ts'

psychrolib.SetUnitSystem(psychrolib.SI)

const range = (from: number, to: number, step: number): number[] =>
  Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step)

/** CIPM-2007 computed from its published constants by another program: °C, Pa, humidity, kg/m³. */
const CIPM = [
  [20, 101325, 0.5, 1.1993139],
  [20, 101325, 0, 1.2045573],
  [20, 100000, 0, 1.1888002],
  [20, 100000, 0.5, 1.1835566],
  [15, 101325, 0, 1.2255213],
  [15, 101325, 0.5, 1.2216312],
  [0, 101325, 0, 1.2930487],
  [25, 101325, 0.6, 1.1759216],
  [23, 101325, 0.5, 1.1860841],
  [30, 95000, 0.8, 1.0772876],
  [10, 90000, 0.4, 1.1054903],
]

/** IAPWS SR1-86(1992): °C, hPa. */
const IAPWS = [
  [0, 6.1121],
  [10, 12.2811],
  [20, 23.3919],
  [25, 31.6982],
  [30, 42.4692],
  [40, 73.8511],
  [50, 123.5248],
]

/** ISO 2533: geopotential metres, hPa. */
const ISA = [
  [0, 1013.25],
  [500, 954.608],
  [1000, 898.746],
  [1500, 845.56],
  [2000, 794.952],
  [2500, 746.825],
  [3000, 701.085],
]

/** Exact inversion of the standard atmosphere by another program: QNH hPa, m, hPa. */
const ALTIMETER = [
  [1013.2075, 0, 1013.207],
  [1013.25, 100, 1001.294],
  [1013, 500, 954.37],
  [1010, 1000, 895.796],
  [1005, 1500, 838.435],
  [1000, 2000, 784.068],
]

/** Answers of wind charts, read to 1 kt: course, from, kt, headwind, crosswind from the right. */
const CHARTS: [course: number, from: number, kt: number, head: number | null, cross: number][] = [
  [180, 220, 30, 23, 19],
  [250, 210, 25, null, -16],
  [350, 330, 15, 14, -5],
  [170, 140, 25, 22, -13],
]

/** ln(z/z0)/ln(10/z0) for the Davenport classes, printed to 4 digits: z0, factors at 1, 1.5 and 2 m. */
const PROFILES: [number, number[]][] = [
  [0.005, [0.6971, 0.7504, 0.7883]],
  [0.03, [0.6036, 0.6734, 0.7229]],
  [0.1, [0.5, 0.588, 0.6505]],
  [0.25, [0.3758, 0.4857, 0.5637]],
  [0.5, [0.2314, 0.3667, 0.4628]],
]

const humid = range(-10, 40, 5).flatMap((t) =>
  [80000, 90000, 101300].flatMap((p) => [0, 0.3, 0.6, 0.9].map((rh) => ({ t, p, rh }))),
)
const warm = range(1, 45, 4)

/** Where and when the sun is asked for: a day of each season at some latitudes, by the hour. */
const sunCases = ['2024-01-12', '2024-04-03', '2024-06-21', '2024-10-08'].flatMap((day) =>
  range(0, 23, 1).flatMap((hour) =>
    [-34, 5, 39.7, 52.5, 64.1].map((latitude) => ({
      time: Date.parse(`${day}T${String(hour).padStart(2, '0')}:00:00Z`),
      latitude,
      longitude: 13.4,
    })),
  ),
)

/** Another library's sun, above 1° of altitude, where refraction is not in doubt. */
const suns = sunCases.flatMap(({ time, latitude, longitude }) => {
  const observer = new Observer(latitude, longitude, 0)
  const date = new Date(time)
  const { ra, dec } = Equator(Body.Sun, date, observer, true, true)
  const want = Horizon(date, observer, ra, dec, 'normal')
  return want.altitude > 1 ? [{ got: sunAt(time / 1000, latitude, longitude), want }] : []
})

const knots = (kt: number, from: number, courseDeg: number): [head: number, cross: number] => {
  const { eastMps, northMps } = windVector(kt * MPS_PER_KNOT, from)
  const course = radians(courseDeg)
  const parts = [eastMps, northMps, Math.sin(course), Math.cos(course)] as const
  return [headwindMps(...parts) / MPS_PER_KNOT, crosswindMps(...parts) / MPS_PER_KNOT]
}

const AIR: Comparison[] = [
  {
    key: 'density.cipm',
    quantity: 'air density',
    reference: 'CIPM-2007, Metrologia 45 (2008) 149, computed by another program',
    unit: 'relative',
    deviations: relative(CIPM.map(([t, p, rh, want]) => [airDensityKgM3(kelvinFromCelsius(t), p, rh), want])),
    limit: 1e-6,
    reason: 'eight digits are given',
  },
  {
    key: 'density.ashrae',
    quantity: 'air density',
    reference: 'psychrolib 1.1.1, ASHRAE Handbook 2017',
    unit: 'relative',
    deviations: relative(
      humid.map(({ t, p, rh }) => [
        airDensityKgM3(kelvinFromCelsius(t), p, rh),
        psychrolib.GetMoistAirDensity(t, psychrolib.GetHumRatioFromRelHum(t, rh, p), p),
      ]),
    ),
    limit: 1e-3,
    reason: 'ideal gases there, real ones here',
  },
  {
    key: 'vapour-pressure.iapws',
    quantity: 'saturation vapour pressure, in the density',
    reference: 'IAPWS SR1-86(1992)',
    unit: 'relative',
    deviations: relative(IAPWS.map(([t, hPa]) => [saturationPressureCipmPa(kelvinFromCelsius(t)), hPa * 100])),
    limit: 1e-4,
    reason: 'the CIPM formula is a fit to 1e-4',
  },
  {
    key: 'vapour-pressure.ashrae',
    quantity: 'saturation vapour pressure, in humidity and dew point',
    reference: 'psychrolib 1.1.1, ASHRAE Handbook 2017, 1 to 45 °C',
    unit: 'relative',
    deviations: relative(warm.map((t) => [saturationPressurePa(kelvinFromCelsius(t)), psychrolib.GetSatVapPres(t)])),
    limit: 3.5e-3,
    reason: 'the WMO formula, by which stations report, is so far off',
  },
  {
    key: 'humidity.ashrae',
    quantity: 'relative humidity from the dew point',
    reference: 'psychrolib 1.1.1',
    unit: 'of saturation',
    deviations: absolute(
      warm.flatMap((t) =>
        [1, 4, 10].map(
          (below) =>
            [
              relativeHumidityFrom(kelvinFromCelsius(t + below), kelvinFromCelsius(t)),
              psychrolib.GetRelHumFromTDewPoint(t + below, t),
            ] as const,
        ),
      ),
    ),
    limit: 2e-3,
    reason: 'the formulas differ by so much',
  },
  {
    key: 'dew-point.ashrae',
    quantity: 'dew point from the relative humidity',
    reference: 'psychrolib 1.1.1, dew points above 0 °C',
    unit: 'K',
    deviations: absolute(
      range(10, 40, 5).flatMap((t) =>
        [0.6, 0.8, 0.95].map(
          (rh) =>
            [celsiusFromKelvin(dewPointK(kelvinFromCelsius(t), rh)), psychrolib.GetTDewPointFromRelHum(t, rh)] as const,
        ),
      ),
    ),
    limit: 0.05,
    reason: 'the formulas differ by so much',
  },
  {
    key: 'pressure.standard',
    quantity: 'pressure of the standard atmosphere',
    reference: 'ISO 2533:1975, table',
    unit: 'Pa',
    deviations: absolute(ISA.map(([h, hPa]) => [standardPressurePa(h), hPa * 100])),
    limit: 0.06,
    reason: 'the table is printed to 0.1 Pa',
  },
  {
    key: 'pressure.altimeter',
    quantity: 'station pressure from the altimeter setting',
    reference: 'the standard atmosphere inverted by another program',
    unit: 'Pa',
    deviations: absolute(ALTIMETER.map(([q, h, want]) => [stationPressureFromAltimeter(q * 100, h), want * 100])),
    limit: 0.06,
    reason: 'the values carry 0.1 Pa',
  },
  {
    key: 'wind.headwind',
    quantity: 'headwind',
    reference: 'answers of wind charts (FAA figure 36, FAA-H-8083-25 from memory, e6b.noseapp.ca)',
    unit: 'kt',
    deviations: absolute(CHARTS.flatMap(([c, f, kt, head]) => (head === null ? [] : [[knots(kt, f, c)[0], head]]))),
    limit: 0.5,
    reason: 'charts are read to 1 kt',
  },
  {
    key: 'wind.crosswind',
    quantity: 'crosswind',
    reference: 'answers of wind charts (as above, and clearflight.co.uk)',
    unit: 'kt',
    deviations: absolute(CHARTS.map(([c, f, kt, , cross]) => [knots(kt, f, c)[1], cross])),
    limit: 0.501,
    reason: 'charts are read to 1 kt; one answer is 12.5',
  },
  {
    key: 'wind.profile',
    quantity: 'wind at the vehicle’s height over wind at 10 m',
    reference: 'log law with Davenport’s roughness lengths, by another program',
    unit: 'of the wind at 10 m',
    deviations: absolute(
      PROFILES.flatMap(([z0, factors]) =>
        factors.map((want, i) => [windProfileFactor([1, 1.5, 2][i], 10, z0), want] as const),
      ),
    ),
    limit: 5.1e-5,
    reason: 'four digits are printed',
  },
  {
    key: 'sun.altitude',
    quantity: 'altitude of the sun',
    reference: 'astronomy-engine 2.1.19, with refraction, above 1°',
    unit: '°',
    deviations: suns.map(({ got, want }) => got.altitudeDeg - want.altitude),
    limit: 0.02,
    reason: 'low-precision formulas (Meeus, ch. 25); refraction formulas differ near the horizon',
  },
  {
    key: 'sun.azimuth',
    quantity: 'azimuth of the sun, across the line of sight',
    reference: 'astronomy-engine 2.1.19',
    unit: '°',
    deviations: suns.map(
      ({ got, want }) => turnDegrees(want.azimuth, got.azimuthDeg) * Math.cos(radians(want.altitude)),
    ),
    limit: 0.02,
    reason: 'low-precision formulas (Meeus, ch. 25)',
  },
]
export default AIR
