/** Days of many kinds, drawn by a seed: what people record, with the drives that are truly in it. */
import { backwards, type Doing, roadFrom, simulateDay, withDetour } from './day.ts'
import { type Random, randomOf } from './random.ts'
import { type Road, simulateRoad } from './road.ts'

type DaySettings = Parameters<typeof simulateDay>[1]

export interface ManyDays {
  kind: string
  sampleS: number
  days: ReturnType<typeof simulateDay>[]
}

const DAY_S = 86_400
const START_S = Date.UTC(2026, 4, 12, 6) / 1000

/** What a kind of day is made of. */
interface Scene {
  random: Random
  seed: string
  /** The test road, what lies before and behind it, and closed roads. */
  test: Road
  home: Road
  beyond: Road
  ring: Road
  sampleS: number
}

type Made = [Doing[], Partial<DaySettings>][]

const rest = (restS: number, logger: 'on' | 'off' = 'on'): Doing => ({ restS, logger })
const along = (road: Road, name?: string): Doing => ({ roads: [{ road, name }] })

function lapsOf(ring: Road, count: number, name = 'lap'): { road: Road; name: string }[] {
  return Array.from({ length: count }, (_, i) => ({ road: ring, name: `${name}${i + 1}` }))
}

/** From home to the road, three drives of it with refuelling between, lunch, laps and home. */
function wholeDay({ random, test, home, ring }: Scene, lapCount = 6): Doing[] {
  const pause = (): Doing => rest(random.between(200, 600), random.uniform() < 0.8 ? 'on' : 'off')
  const back: Doing = along(backwards(test), 'back')
  return [
    along(backwards(home)),
    pause(),
    along(test, 'd1'),
    pause(),
    back,
    pause(),
    along(test, 'd2'),
    pause(),
    back,
    rest(random.between(2000, 3500)),
    along(test, 'd3'),
    pause(),
    back,
    pause(),
    { roads: [...lapsOf(ring, lapCount), { road: home }] },
  ]
}

/** An oval of two straights and two half circles, entered where a straight begins. */
function oval(lengthM: number, latitudeDeg: number, longitudeDeg: number): Road {
  const base = simulateRoad({
    seed: 'oval',
    shape: 'one-way',
    lengthM,
    latitudeDeg,
    longitudeDeg,
    gradeSd: 0,
    interruptions: false,
    limitMps: 12,
    straightCourseDeg: 0,
  })
  const radiusM = lengthM / (2 * Math.PI + 4)
  let [lat, lon] = [latitudeDeg, longitudeDeg]
  for (let i = 0; i < base.count; i++) {
    const at = ((i / (base.count - 1)) * lengthM) % lengthM
    const arcM = Math.PI * radiusM
    const straightM = 2 * radiusM
    const half = at % (arcM + straightM)
    const before = at >= arcM + straightM ? Math.PI : 0
    const course = before + Math.max(0, half - straightM) / radiusM
    base.latitude[i] = lat
    base.longitude[i] = lon
    base.courseDeg[i] = ((course * 180) / Math.PI) % 360
    base.radiusM[i] = half > straightM ? radiusM : 1e7
    lat += (base.stepM * Math.cos(course + (base.stepM / radiusM / 2) * (half > straightM ? 1 : 0))) / 111_180
    lon +=
      (base.stepM * Math.sin(course + (base.stepM / radiusM / 2) * (half > straightM ? 1 : 0))) /
      (111_320 * Math.cos((latitudeDeg * Math.PI) / 180))
  }
  base.latitude[base.count - 1] = base.latitude[0]
  base.longitude[base.count - 1] = base.longitude[0]
  return base
}

const KINDS: Record<string, (scene: Scene) => Made> = {
  'whole day': (s) => [[wholeDay(s), {}]],
  'whole day, tunnel of 90 s in the laps': (s) => {
    const fromM = s.random.between(2000, 6000)
    const tunnels = lapsOf(s.ring, 6).map(({ name }) => ({ name, fromM, toM: fromM + 1700 }))
    return [[wholeDay(s), { tunnels }]]
  },
  'two days, the second begun late': (s) => [
    [wholeDay(s), {}],
    [wholeDay(s), { startS: START_S + DAY_S, fromS: s.random.between(800, 1400) }],
  ],
  'single drives, one begun late, one ended early': (s) => [
    [[along(s.test, 'd1')], {}],
    [[along(s.test, 'd2')], { startS: START_S + DAY_S, fromS: s.random.between(120, 400) }],
    [[along(s.test, 'd3')], { startS: START_S + 2 * DAY_S, untilS: s.random.between(600, 800) }],
  ],
  'drives with a detour': (s) => [
    [[along(s.test, 'd1'), rest(300), along(backwards(s.test), 'b1')], {}],
    [
      [
        along(withDetour(s.test, 8000, 8000 + s.random.between(2000, 3500), 700), 'd2'),
        rest(300),
        along(backwards(s.test), 'b2'),
      ],
      { startS: START_S + DAY_S },
    ],
    [[along(s.test, 'd3')], { startS: START_S + 2 * DAY_S }],
  ],
  'a ferry between two roads': (s) => {
    const ferry = ferryFrom(s.test, s.random.between(0, 360))
    const on = roadFrom(ferry, 'end', `${s.seed}/on`, 9000)
    const away = roadFrom(ferry, 'end', `${s.seed}/away`, 5000)
    return [0, 1].map((day) => [
      [
        along(backwards(s.home)),
        rest(300),
        along(s.test, 'd'),
        rest(400),
        { ferry },
        rest(200),
        along(on, 'island'),
        rest(400),
        along(backwards(on), 'island back'),
        rest(300),
        along(away),
      ],
      { startS: START_S + day * DAY_S },
    ])
  },
  'two phones': (s) => {
    const day = wholeDay(s)
    return [
      [day, {}],
      [day, { device: 'b' }],
    ]
  },
  'five laps in one file': (s) => [[[{ roads: lapsOf(s.ring, 5) }], {}]],
  'a lap beside a stint': (s) => [
    [[{ roads: lapsOf(s.ring, 4) }], {}],
    [[{ roads: lapsOf(s.ring, 1) }], { startS: START_S + 7200 }],
  ],
  'laps of an oval of 400 m to 1 km, two fixes a second': (s) => {
    const road = oval(100 * Math.round(s.random.between(4, 10)), s.test.latitude[0], s.test.longitude[0])
    return [[[{ roads: lapsOf(road, 12) }], { sampleS: 0.5 }]]
  },
  'there and back several times without a rest': (s) => {
    const road = simulateRoad({
      seed: `${s.seed}/turn`,
      shape: 'there-and-back',
      lengthM: 14_000,
      latitudeDeg: 47.1,
      longitudeDeg: 8.2,
    })
    return [[[{ roads: lapsOf(road, 4) }], {}]]
  },
  'figure eight': (s) => {
    const make = (part: string, course: number): Road => turned(ringOf(`${s.seed}/${part}`, 5000), course)
    const [a, b] = [make('a', 20), turned(mirrored(ringOf(`${s.seed}/b`, 5000)), 20)]
    const eight = Array.from({ length: 4 }, (_, i) => [{ road: joinedRoad(a, b), name: `lap${i + 1}` }]).flat()
    return [[[{ roads: eight }], {}]]
  },
  'three days of one drive from home and back': (s) =>
    [0, 1, 2].map((day) => [
      [
        along(s.test, 'out'),
        rest(s.random.between(1800, 5000), s.random.uniform() < 0.5 ? 'on' : 'off'),
        along(backwards(s.test), 'home'),
      ],
      { startS: START_S + day * DAY_S },
    ]),
  'the way there goes on into a drive, a drive into the way home': (s) => {
    const pause = (): Doing => rest(s.random.between(300, 900))
    const back = backwards(s.test)
    const day = (errand: Doing[]): Doing[] => [
      { roads: [{ road: backwards(s.home) }, { road: s.test, name: 'out1' }] },
      pause(),
      ...(errand.length > 0 ? errand : [along(back, 'back1'), pause()]),
      along(s.test, 'out2'),
      pause(),
      { roads: [{ road: back, name: 'back2' }, { road: s.home }] },
    ]
    const other = roadFrom(s.test, 'start', `${s.seed}/errand`, 4000)
    const errand: Doing[] = [
      { roads: [{ road: back, name: 'back1' }, { road: other }] },
      pause(),
      along(backwards(other)),
      pause(),
    ]
    return [
      [day([]), {}],
      [day(errand), { startS: START_S + DAY_S }],
    ]
  },
  'days without a rest': (s) => {
    const passing = (home: Road, beyond: Road): Doing[] => [
      { roads: [{ road: backwards(home) }, { road: s.test, name: 'p' }, { road: beyond }] },
    ]
    const otherHome = roadFrom(s.test, 'start', `${s.seed}/other home`, 5000)
    const otherBeyond = roadFrom(s.test, 'end', `${s.seed}/other beyond`, 5000)
    return [
      [passing(s.home, s.beyond), {}],
      [passing(otherHome, otherBeyond), { startS: START_S + DAY_S }],
      [[{ roads: [{ road: s.test, name: 'q' }] }], { startS: START_S + 2 * DAY_S }],
    ]
  },
}

/** The kinds of days, in their order. */
export const KINDS_OF_DAYS = Object.keys(KINDS)

const ringOf = (seed: string, lengthM: number): Road =>
  simulateRoad({ seed, shape: 'loop', lengthM, latitudeDeg: 47.3, longitudeDeg: 8.1 })

/** A road turned about its begin so that it sets off on a course. */
function turned(road: Road, courseDeg: number): Road {
  const by = ((courseDeg - road.courseDeg[0]) * Math.PI) / 180
  const [lat0, lon0] = [road.latitude[0], road.longitude[0]]
  const stretch = Math.cos((lat0 * Math.PI) / 180)
  const result = {
    ...road,
    latitude: road.latitude.slice(),
    longitude: road.longitude.slice(),
    courseDeg: road.courseDeg.map((c) => (c + (by * 180) / Math.PI + 720) % 360),
  }
  for (let i = 0; i < road.count; i++) {
    const [north, east] = [road.latitude[i] - lat0, (road.longitude[i] - lon0) * stretch]
    result.latitude[i] = lat0 + north * Math.cos(by) - east * Math.sin(by)
    result.longitude[i] = lon0 + (east * Math.cos(by) + north * Math.sin(by)) / stretch
  }
  return result
}

/** A road with east and west exchanged about its begin. */
const mirrored = (road: Road): Road => ({
  ...road,
  longitude: road.longitude.map((longitude) => 2 * road.longitude[0] - longitude),
  courseDeg: road.courseDeg.map((course) => 360 - course),
})

function joinedRoad(a: Road, b: Road): Road {
  const both = (of: (road: Road) => Float64Array): Float64Array => Float64Array.from([...of(a).slice(0, -1), ...of(b)])
  return {
    ...a,
    lengthM: a.lengthM + b.lengthM,
    count: a.count + b.count - 1,
    latitude: both((r) => r.latitude),
    longitude: both((r) => r.longitude),
    elevationM: both((r) => r.elevationM),
    grade: both((r) => r.grade),
    courseDeg: both((r) => r.courseDeg),
    radiusM: both((r) => r.radiusM),
    exposure: both((r) => r.exposure),
    crossShare: both((r) => r.crossShare),
    limitMps: both((r) => r.limitMps),
    junctions: [...a.junctions, ...b.junctions.map((j) => ({ ...j, node: j.node + a.count - 1 }))],
  }
}

/** Fifteen minutes over water. */
function ferryFrom(pier: Road, straightCourseDeg: number): Road {
  const last = pier.count - 1
  return simulateRoad({
    seed: 'ferry',
    shape: 'one-way',
    lengthM: 4500,
    latitudeDeg: pier.latitude[last],
    longitudeDeg: pier.longitude[last],
    straightCourseDeg,
    limitMps: 5,
    gradeSd: 0,
    interruptions: false,
  })
}

const SAMPLES_S = [1, 5, 12, 30]

/** The n-th of many days: kinds in turn, sampling in turn, all else drawn. */
export function manyDays(n: number): ManyDays {
  const kind = KINDS_OF_DAYS[n % KINDS_OF_DAYS.length]
  const seed = `days ${n}`
  const random = randomOf(`${seed}/scene`)
  const sampleS = SAMPLES_S[Math.floor(n / KINDS_OF_DAYS.length) % SAMPLES_S.length]
  const test = simulateRoad({
    seed: `${seed}/test`,
    shape: 'one-way',
    lengthM: random.between(12_000, 22_000),
    latitudeDeg: 47.3,
    longitudeDeg: 8.1,
  })
  const scene: Scene = {
    random,
    seed,
    test,
    home: roadFrom(test, 'start', `${seed}/home`, random.between(4000, 12_000)),
    beyond: roadFrom(test, 'end', `${seed}/beyond`, random.between(3000, 8000)),
    ring: ringOf(`${seed}/ring`, random.between(9000, 15_000)),
    sampleS,
  }
  const days = KINDS[kind](scene).map(([doings, settings], i) =>
    simulateDay(doings, {
      seed: settings.device ? `${seed}/0` : `${seed}/${i}`,
      startS: START_S,
      sampleS,
      ...settings,
    }),
  )
  return { kind, sampleS, days }
}
