import { csvLogReader } from './csv-log/read.ts'
import { fitReader } from './fit/read.ts'
import { geojsonReader } from './geojson.ts'
import { gpxReader } from './gpx.ts'
import { kmlReader } from './kml.ts'
import { nmeaReader } from './nmea/read.ts'
import { tcxReader } from './tcx.ts'

/** All readers of recordings, a line each. A file belongs to the first one that recognises it. */
export const TRACK_READERS = [
  gpxReader,
  kmlReader,
  fitReader,
  tcxReader,
  geojsonReader,
  nmeaReader,
  csvLogReader,
] as const
