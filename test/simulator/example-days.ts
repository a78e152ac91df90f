/** Days that tests of the whole path share: a road of 20 km and a ring of 13 km near one home, for one logger. */
import { backwards, type Doing, roadFrom, simulateDay, type TrueDrive } from './day.ts'
import { gpxText } from './device.ts'
import { simulateRoad } from './road.ts'

/** 12 May 2026, 7:00 UTC. */
export const DAY_START = Date.UTC(2026, 4, 12, 7) / 1000

const test = simulateRoad({ seed: 'test road', shape: 'one-way', lengthM: 8000, latitudeDeg: 47.3, longitudeDeg: 8.1 })
const ring = simulateRoad({ seed: 'ring', shape: 'loop', lengthM: 5000, latitudeDeg: 47.3, longitudeDeg: 8.1 })
const home = roadFrom(test, 'start', 'home', 6000)
const toTest = backwards(home)

/** Where the logger is switched on and off. */
export const HOME = { lat: home.latitude[home.count - 1], lon: home.longitude[home.count - 1] }
/** Where the test road begins, which is where the ring is closed as well. */
export const GATE = { lat: test.latitude[0], lon: test.longitude[0] }
/** The far end of the test road, where the vehicle rests before it turns back. */
export const FAR_END = { lat: test.latitude[test.count - 1], lon: test.longitude[test.count - 1] }

const rest = (restS: number, logger: 'on' | 'off' = 'on'): Doing => ({ restS, logger })
const there = (name: string): Doing => ({ roads: [{ road: test, name }] })
const back: Doing = { roads: [{ road: backwards(test), name: 'back' }] }
const laps = (count: number) => Array.from({ length: count }, (_, i) => ({ road: ring, name: `lap${i + 1}` }))

/** Home, the test road there and back and there again, a rest, three laps, home. */
export const WHOLE_DAY: Doing[] = [
  { roads: [{ road: toTest }] },
  rest(300),
  there('d1'),
  rest(360),
  back,
  rest(240),
  there('d2'),
  rest(300, 'off'),
  back,
  rest(1800),
  { roads: [...laps(3), { road: home }] },
]

export const LAPS = (count: number): Doing[] => [{ roads: laps(count) }]
export const ONE_DRIVE: Doing[] = [there('d1')]

/** The GPX text of a day, a fix every 2 s, with the drives that are truly in it. */
export function exampleDay(
  doings: Doing[],
  settings: Partial<Parameters<typeof simulateDay>[1]> = {},
): { gpx: string; drives: TrueDrive[] } {
  const day = simulateDay(doings, { seed: 'example', startS: DAY_START, sampleS: 2, ...settings })
  return { gpx: gpxText(day.fixes, 'day'), drives: day.drives }
}
