/** How the division into drives and roads grows with points and with pieces: time for each, over that of the smallest. */
import { before } from './before.mjs'
import { collectGarbage, median, row, seconds } from './measure.mjs'

const { dayOf, townRecordings } = await import('./days.ts')
const { tracedOf } = await import('../test/road/division/scores.ts')

const TOWNS = [1000, 2000, 4000, 8000]
const DAYS = [10, 20, 40]

/** @param dist imports a module of the built program */
export async function benchGrowth(dist) {
  const { divide } = await dist('road/division/divide')
  const { routesOf } = await dist('road/routes')
  const time = (work) =>
    median(
      [0, 1, 2].map(() => {
        collectGarbage()
        return seconds(work)
      }),
    )
  const ratios = (each) => each.map((value) => (value / each[0]).toFixed(2)).join('  ')
  console.log('\nGrowth: time for each, over that of the smallest (wanted: 1 for points, below 1.5 for pieces)')
  const days = Array.from({ length: DAYS.at(-1) }, (_, day) => tracedOf(dayOf('bench', day)))
  divide(days)
  const ofDays = DAYS.map((count) => time(() => divide(days.slice(0, count))) / count)
  row(`a day, of ${DAYS.join(', ')}`, ratios(ofDays), `${(1000 * ofDays.at(-1)).toFixed(0)} ms a day`)
  const towns = TOWNS.map((count) => townRecordings(count, 1))
  const ofPieces = towns.map((town) => time(() => divide(town)) / town.length)
  row(`a piece, of ${TOWNS.join(', ')}`, ratios(ofPieces), `${before.growth}; ${(1000 * ofPieces.at(-1)).toFixed(2)} ms a piece`)
  const paths = towns.slice(0, -1).map((town) => town.map(({ trace }) => trace))
  const ofRoads = paths.map((own) => time(() => routesOf(own)) / own.length)
  row(`a road, of ${TOWNS.slice(0, -1).join(', ')}`, ratios(ofRoads), `${(1000 * ofRoads.at(-1)).toFixed(2)} ms a road`)
}
