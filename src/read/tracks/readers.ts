import { csvLogReader } from './csv-log/read.ts'
import { gpxReader } from './gpx.ts'
import { kmlReader } from './kml.ts'

/** All readers of recordings, a line each. A file belongs to the first one that recognises it. */
export const TRACK_READERS = [gpxReader, kmlReader, csvLogReader] as const
