import { z } from 'zod'
import type { Outcome } from '../../base/problem.ts'
import type { Kind } from '../../base/remember.ts'
import type { Observations, Station, StationListing } from '../../read/types.ts'
import { bytes, floats, haveLength, integers, number, problem, text, textOrNull } from './columns.ts'

const station: z.ZodType<Station> = z.strictObject({
  id: text,
  latitude: number,
  longitude: number,
  elevationM: number,
  elevationSdM: number.optional(),
  anemometerHeightM: number,
  onRoad: z.boolean(),
  quality: z.enum(['instrument', 'note', 'model', 'forecast']),
})

const listing: z.ZodType<StationListing> = z.strictObject({
  id: text,
  latitude: number,
  longitude: number,
  elevationM: number,
  anemometerHeightM: number.optional(),
  from: number,
  to: number,
})

const observations: z.ZodType<Observations> = z
  .strictObject({
    stations: z.array(station),
    count: z.int().min(0),
    station: integers,
    time: floats,
    temperatureK: floats,
    temperatureStepK: floats,
    dewPointK: floats,
    relativeHumidity: floats,
    stationPressurePa: floats,
    seaLevelPressurePa: floats,
    altimeterPa: floats,
    windSpeedMps: floats,
    windFromDeg: floats,
    windVariable: bytes,
    windGustMps: floats,
    precipitationMm: floats,
    roadWet: floats,
    presentWeather: z.array(textOrNull),
    places: z.array(listing).optional(),
  })
  .refine((rows) => haveLength(rows, rows.count) && rows.presentWeather.length === rows.count)
  .refine((rows) => rows.station.every((place) => place >= 0 && place < rows.stations.length))

/** Observations as one file gives them. */
export const WEATHER: Kind<Outcome<Observations>> = {
  name: 'weather',
  shape: z.strictObject({ value: observations.nullable(), problems: z.array(problem) }),
}
