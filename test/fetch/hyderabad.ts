import { readFileSync } from 'node:fs'
import { join } from 'node:path'

const MEASURES = join(import.meta.dirname, '../data/weather/iem-asos/measures.txt')

/** Reports of Hyderabad, recorded from the service (test/data/weather/SOURCE.md), of two days that the drives here are on. */
export const HYDERABAD = Buffer.from(
  readFileSync(MEASURES, 'utf8')
    .split('\n')
    .filter((line) => !line.startsWith('VOHY') || /\t2014-03-(?:05|10) /.test(line))
    .join('\n'),
)
