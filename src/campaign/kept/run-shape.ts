import { z } from 'zod'
import type { RunAir } from '../../air/types.ts'
import type { Kind } from '../../base/remember.ts'
import type { Contributions, Side } from '../../compare/contribution-draws.ts'
import type { ComparableRun } from '../../compare/pair.ts'
import type { Demand } from '../../demand/types.ts'
import type { RunRow } from '../../read/runs/rows.ts'
import { reportSchema } from '../../report/contract.ts'
import { OTHER_VEHICLE_CODES } from '../../report/words/drives/flags.ts'
import type { RunResult } from '../drive/run-result.ts'
import type { OtherVehicle } from '../load/recordings/left-out.ts'
import { along } from './along-shape.ts'
import { floats, haveLength, integers, number, problem, text, textOrNull } from './columns.ts'
import { summaryShape } from './drive-shape.ts'
import { outline } from './match-shape.ts'

const row: z.ZodType<RunRow> = z.strictObject({
  line: number,
  file: textOrNull,
  track: text,
  setup: textOrNull,
  fuelLitres: number,
  fuelKg: number,
  energyKwh: number,
  fuelTemperatureK: number,
  tripComputerLitresPer100Km: number,
  gaugeMarkM: number,
  obdFuelLitres: number,
  odometerM: number,
  payloadKg: number,
  tyrePressurePa: number,
  accessoriesW: number,
  socBefore: number,
  socAfter: number,
  fillGroup: textOrNull,
  temperatureK: number,
  relativeHumidity: number,
  windSpeedMps: number,
  windFromDeg: number,
  roadWet: textOrNull,
  from: textOrNull,
  to: textOrNull,
  split: textOrNull,
  engineOff: textOrNull,
  without: textOrNull,
  testVehicle: textOrNull,
  vehicle: textOrNull,
  control: textOrNull,
  exclude: textOrNull,
  note: textOrNull,
  photo: textOrNull,
  when: z.strictObject({ fromTime: number, toTime: number, isZoned: z.boolean().optional() }).nullable(),
  consumptionLitresPer100Km: number,
  extra: z.array(z.strictObject({ name: text, text })),
})

const otherVehicle: z.ZodType<OtherVehicle | null> = z
  .strictObject({
    code: z.enum(OTHER_VEHICLE_CODES),
    figures: z.strictObject({ usual_mps: number, top_mps: number, count: number }).partial(),
  })
  .nullable()

const window = z.strictObject({ fromTime: number, toTime: number })

const runAir: z.ZodType<RunAir> = z.strictObject({
  along: z
    .strictObject({
      time: floats,
      temperatureK: floats,
      relativeHumidity: floats,
      pressurePa: floats,
      densityKgM3: floats,
      windEastMps: floats,
      windNorthMps: floats,
      undirectedMps: floats,
      windDepartureSdMps: floats,
      temperatureDepartureSdK: floats,
    })
    .refine((columns) => haveLength(columns, columns.time.length)),
  stations: z.array(
    z.strictObject({
      id: text,
      weight: number,
      distanceM: number,
      gapS: number,
      quality: z.enum(['instrument', 'note', 'model', 'forecast']),
      errors: z.strictObject({
        temperatureK: number,
        relativeHumidity: number,
        pressurePa: number,
        windSpeed: number,
        windFromDeg: number,
      }),
    }),
  ),
  assumed: z.strictObject({ pressureSdPa: number, humiditySd: number }),
  farShare: z.number(),
  beyondShare: z.number(),
  missing: z.array(z.enum(['temperature', 'wind'])),
  gustMps: number,
  precipitationMm: number,
  roadWet: number,
  presentWeather: z.array(text),
  weatherObserved: z.boolean(),
})

const phase = z.enum(['day', 'twilight', 'night']).nullable()

const demand: z.ZodType<Demand> = z.strictObject({
  drawsJPerM: floats,
  nominalJPerM: number,
  nominalDragJPerM: number,
  headwindMps: number,
  headwindSdMps: number,
  drawnFrom: z.array(text),
})

const comparable: z.ZodType<ComparableRun> = z.strictObject({
  route: z.int(),
  routeName: text,
  relation: z.enum(['same', 'part', 'detour']),
  match: z.strictObject(outline),
  draws: floats.nullable(),
  missing: z.array(z.enum(['weather', 'wind', 'temperature', 'demand'])),
  outside: z.strictObject({
    wet: z.boolean().nullable(),
    phase,
    payloadKg: number,
    tyrePressurePa: number,
    accessoriesW: number,
    standingShare: number,
    startTime: number,
    endTime: number,
  }),
})

/** A demand's other fields come with a side, and are not asked for. */
const side: z.ZodType<Side> = z.looseObject({
  axis: z
    .strictObject({
      cellM: number,
      payloadKg: number,
      accessoriesW: number,
      idlingS: floats,
      speedMps: floats,
      kineticJPerKg: floats,
      climbM: floats,
      densityKgM3: floats,
      temperatureK: floats,
      headMps: floats,
      crossMps: floats,
    })
    .refine((columns) => haveLength(columns, columns.idlingS.length)),
  places: z.strictObject({
    cells: integers,
    columns: integers,
    headMps: floats,
    crossMps: floats,
    gustMps: floats,
    densityFactor: floats,
    temperatureErrorK: floats,
    motionFactor: floats,
  }),
  nominalJPerM: number,
  drawsJPerM: floats,
})

const share = z.strictObject({ meanPct: number, low90Pct: number, high90Pct: number })
const contributions: z.ZodType<Contributions> = z.strictObject({
  airDensity: share,
  wind: share,
  rollingTemperature: share,
  speed: share,
  route: share,
})

/** What the second map step finds for a run. */
export const RUN_RESULT: Kind<RunResult> = {
  name: 'run result',
  shape: z.strictObject({
    run: z.strictObject({
      id: text,
      track: text,
      file: text,
      recording: text,
      part: window.extend({ without: z.array(window).optional() }).nullable(),
      engineOff: z.strictObject({ windows: z.array(window), seconds: number }).nullable(),
      source: text,
      summary: summaryShape,
      row: row.nullable(),
      otherVehicle,
      problems: z.array(problem),
    }),
    route: z.int(),
    start: z.strictObject({ latitude: number, longitude: number }),
    runAir,
    wind: z.strictObject({
      speedMps: number,
      fromDeg: number,
      headwindMps: number,
      crosswindAbsMps: number,
      crosswindAtTenMetresMps: number,
      yawAbsDeg: number,
    }),
    sun: z.strictObject({
      altitudeDeg: number,
      azimuthDeg: number,
      startAltitudeDeg: number,
      endAltitudeDeg: number,
      phase,
    }),
    means: z.strictObject({
      temperatureK: number,
      relativeHumidity: number,
      pressurePa: number,
      densityKgM3: number,
      densitySdKgM3: number,
    }),
    demand: demand.nullable(),
    recording: text,
    kinetic: z.strictObject({ log: number, sd: number, commonSd: number, drawnSd: number }),
    comparable,
    logged: reportSchema.shape.runs.element.shape.logged,
    told: reportSchema.shape.runs.element.omit({ consumption: true, use: true }),
    side: side.nullable(),
    along: along.nullable(),
    contributions: contributions.nullable(),
  }),
}
