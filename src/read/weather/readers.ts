import { observationTableReader } from './csv.ts'
import { hourlyCsvReader } from './hourly-csv.ts'
import { ghcnhJsonReader, ghcnhReader } from './isd/ghcnh.ts'
import { isdReader } from './isd/isd.ts'
import { isdLiteReader } from './isd/isd-lite.ts'
import { aviationWeatherReader } from './metar/aviation-weather.ts'
import { metarReader } from './metar/metar.ts'
import { environmentCanadaReader } from './services/environment-canada.ts'
import { environmentCanadaJsonReader } from './services/environment-canada-json.ts'
import { fmiReader } from './services/fmi.ts'
import { meteoSwissReader } from './services/meteoswiss.ts'
import { mosmixReader } from './services/mosmix.ts'
import { nationalWeatherReader } from './services/national-weather.ts'
import { nationalWeatherForecastReader } from './services/national-weather-forecast.ts'
import { openMeteoReader } from './services/open-meteo.ts'
import { smhiReader } from './services/smhi.ts'
import { stationListReader } from './stations/station-lists.ts'
import { stationListJsonReader } from './stations/station-lists-json.ts'

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
