import { observationTableReader } from './csv.ts'
import { hourlyCsvReader } from './hourly-csv.ts'
import { isdReader } from './isd.ts'
import { isdLiteReader } from './isd-lite.ts'
import { metarReader } from './metar.ts'

/** All readers of weather files, a line each. A text belongs to the first one that recognises it. */
export const WEATHER_READERS = [isdReader, isdLiteReader, hourlyCsvReader, observationTableReader, metarReader] as const
