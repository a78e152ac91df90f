import { z } from 'zod'
import type { AlongRun, ApparentWindMet, WeatherMet } from '../../report/along-data.ts'
import { floats, number, text } from './columns.ts'

const apparent: z.ZodType<ApparentWindMet> = z.strictObject({
  yawLimitDeg: number,
  yawStepDeg: number,
  speedStepMps: number,
  share: z.array(z.array(number)),
  meanAirspeedMps: number,
  yawMedianDeg: number,
  yawNinetyDeg: number,
})

const weather: z.ZodType<WeatherMet> = z.strictObject({
  startTime: number,
  endTime: number,
  time: floats,
  temperatureC: floats,
  temperatureSdC: floats,
  windMps: floats,
  windSdMps: floats,
  fromDeg: floats,
  fromSdDeg: floats,
  observations: z.array(
    z.strictObject({
      station: text,
      latitude: number,
      longitude: number,
      distanceM: number,
      time: floats,
      temperatureC: floats,
      windMps: floats,
      fromDeg: floats,
    }),
  ),
})

/** What the page shows of a run along its road. */
export const along: z.ZodType<AlongRun> = z.strictObject({
  run: text,
  road: text,
  strips: z.strictObject({
    speedMps: floats,
    headwindMps: floats,
    crosswindMps: floats,
    densityKgM3: floats,
    demandJPerM: floats,
  }),
  windAt: z.array(z.strictObject({ latitude: number, longitude: number, eastMps: number, northMps: number })),
  stoodAt: z.array(z.strictObject({ latitude: number, longitude: number, standingS: number })),
  apparent: apparent.nullable(),
  weather: weather.nullable(),
})
