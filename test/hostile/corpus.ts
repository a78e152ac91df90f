import { encodings, truncated } from './gpx-files.ts'
import { logs } from './logs.ts'
import type { BadInput } from './make.ts'
import { markup } from './markup.ts'
import { serviceAnswers } from './services.ts'
import { kmlFiles, settings } from './settings.ts'
import { runsTables, weatherTables } from './tables.ts'
import { tiles } from './tiles.ts'
import { positions, times } from './values.ts'

/** These take seconds: they are tried where CETERIS_HOSTILE is "all". */
export const HEAVY =
  /^(KML: 400,000|weather: 200,000 rows|weather: METAR with a million words|campaign.yaml: 10,000 setups|gzip of 300 MB|a million end tags|every point 100 times|csv: a million rows)/

/** Everything bad that one file can be. What a folder can be besides is in folder.test.ts. */
export const corpus: Record<string, BadInput[]> = {
  truncated,
  encodings,
  markup,
  positions,
  times,
  'KML files': kmlFiles,
  'weather tables': weatherTables,
  'answers of weather services': serviceAnswers,
  'runs tables': runsTables,
  settings,
  'terrain tiles': tiles,
  logs,
}
