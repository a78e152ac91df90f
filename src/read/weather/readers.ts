import { aviationWeatherReader } from './aviation-weather.ts'
import { observationTableReader } from './csv.ts'
import { environmentCanadaReader } from './environment-canada.ts'
import { environmentCanadaJsonReader } from './environment-canada-json.ts'
import { fmiReader } from './fmi.ts'
import { ghcnhJsonReader, ghcnhReader } from './ghcnh.ts'
import { hourlyCsvReader } from './hourly-csv.ts'
import { isdReader } from './isd.ts'
import { isdLiteReader } from './isd-lite.ts'
import { metarReader } from './metar.ts'
import { meteoSwissReader } from './meteoswiss.ts'
import { mosmixReader } from './mosmix.ts'
import { nationalWeatherReader } from './national-weather.ts'
import { nationalWeatherForecastReader } from './national-weather-forecast.ts'
import { openMeteoReader } from './open-meteo.ts'
import { smhiReader } from './smhi.ts'
import { stationListReader } from './station-lists.ts'
import { stationListJsonReader } from './station-lists-json.ts'

/** All readers of weather files, a line each. A text belongs to the first one that recognises it. */
export const WEATHER_READERS = [
  stationListReader,
  stationListJsonReader,
  ghcnhReader,
  ghcnhJsonReader,
  openMeteoReader,
  aviationWeatherReader,
  nationalWeatherReader,
  nationalWeatherForecastReader,
  mosmixReader,
  meteoSwissReader,
  environmentCanadaReader,
  environmentCanadaJsonReader,
  smhiReader,
  fmiReader,
  isdReader,
  isdLiteReader,
  hourlyCsvReader,
  observationTableReader,
  metarReader,
] as const
