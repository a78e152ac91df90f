import { describe, expect, it } from 'vitest'
import type { Report } from '../../src/report/contract.ts'
import { gpxText, recordFixes } from '../simulator/device.ts'
import { drive, type TrueMotion } from '../simulator/driver.ts'
import { jam, ride, rideBus, rideTrain, walk } from '../simulator/other-movers.ts'
import { type Road, simulateRoad } from '../simulator/road.ts'
import { folderFiles, inputFile, reportOf } from './folder.ts'

const road = simulateRoad({
  seed: 'town',
  shape: 'one-way',
  lengthM: 5000,
  latitudeDeg: 48,
  longitudeDeg: 9,
  limitMps: 14,
})
const START_S = Date.parse('2025-05-02T06:00:00Z') / 1000
const car = (r: Road, seed: string): TrueMotion => drive(r, { seed })
type Mover = typeof walk
let hour = 0

const recorded = (name: string, of: Mover, own = road) => {
  const fixes = recordFixes(own, of(own, name), START_S + 3 * 3600 * hour++, { seed: name })
  return inputFile(`${name}.gpx`, gpxText(fixes, name))
}
const weather = inputFile(
  'weather.csv',
  `time,station,lat,lon,elevation_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg\n${Array.from(
    { length: 60 },
    (_, i) => `${new Date((START_S + 3600 * i - 3600) * 1000).toISOString()},S,48,9,200,15,60,990,2,270`,
  ).join('\n')}\n`,
)
const cars = [recorded('car1', car), recorded('car2', car), recorded('car3', car)]
const codesOf = ({ runs }: Report, id: string): string[] =>
  runs.find((run) => run.id === id)?.flags.map(({ code }) => code) ?? []
const comparedIn = ({ pairs }: Report): string[] => [...new Set(pairs.flatMap(({ a, b }) => [a, b]))].sort()
const OTHER = /moves-like|than-others|other-vehicle/

describe('among three drives of a car', () => {
  it.each([
    { what: 'a walk', of: walk, code: 'moves-like-walk' },
    { what: 'a bicycle', of: ride, code: 'moves-like-bicycle' },
    { what: 'a bus', of: rideBus, code: 'moves-like-bus' },
  ])('$what is flagged, and compared with no drive', async ({ of, code }) => {
    const report = await reportOf([...cars, recorded('other', of), weather], { draws: 50 })
    expect(codesOf(report, 'other')).toContain(code)
    expect(comparedIn(report)).toEqual(['car1', 'car2', 'car3'])
    for (const id of comparedIn(report)) expect(codesOf(report, id).filter((c) => OTHER.test(c))).toEqual([])
  })

  it('a car in a jam is a car', async () => {
    const report = await reportOf([...cars, recorded('jam', jam), weather], { draws: 50 })
    expect(codesOf(report, 'jam').filter((c) => OTHER.test(c))).toEqual([])
    expect(comparedIn(report)).toContain('jam')
  })

  it('test_vehicle in runs.csv stands over what the motion says', async () => {
    const rows = 'track,setup,test_vehicle\nother.gpx,a,yes\ncar1.gpx,a,no\ncar2.gpx,a,perhaps\n'
    const report = await reportOf([...cars, recorded('other', ride), weather, inputFile('runs.csv', rows)], {
      draws: 50,
    })
    expect(comparedIn(report)).toEqual(['car2', 'car3', 'other'])
    expect(codesOf(report, 'car1')).toContain('stated-other-vehicle')
    const [problem] = report.problems.filter(({ code }) => code === 'test-vehicle-not-yes-or-no')
    expect(problem).toMatchObject({ path: 'runs.csv', line: 4 })
  })

  it('fuel of another vehicle counts in no claim, which says why', async () => {
    const rows = ['car1.gpx,a,0.4', 'car2.gpx,a,0.4', 'car3.gpx,b,0.4', 'other.gpx,b,0.3'].join('\n')
    const files = [...cars, recorded('other', ride), weather, inputFile('runs.csv', `track,setup,fuel_l\n${rows}\n`)]
    const report = await reportOf([...files, inputFile('campaign.yaml', 'baseline: a\n')], { draws: 50 })
    const [claim] = report.claims
    expect(claim.runs).toEqual(['car3'])
    expect(claim.left_out.map(({ run, why }) => [run, why.code])).toEqual([['other', 'other-vehicle']])
  })
})

it('a campaign of bicycles is one, and is told that its vehicle is heavy', async () => {
  const rides = [1, 2, 3].map((n) => recorded(`ride${n}`, ride))
  const report = await reportOf([...rides, recorded('car', car), weather], { draws: 50 })
  for (const id of ['ride1', 'ride2', 'ride3']) expect(codesOf(report, id).filter((c) => OTHER.test(c))).toEqual([])
  expect(comparedIn(report)).toEqual(['ride1', 'ride2', 'ride3'])
  expect(report.problems.map(({ code }) => code)).toContain('vehicle-guessed')
  const asCar = inputFile('campaign.yaml', 'vehicle: { class: car }\n')
  const heavy = await reportOf([...rides, weather, asCar], { draws: 50 })
  expect(heavy.problems.map(({ code }) => code)).toContain('vehicle-doubtful')
  const light = await reportOf([...rides, weather, inputFile('campaign.yaml', 'vehicle: { mass_kg: 85 }\n')], {
    draws: 50,
  })
  expect(light.problems.map(({ code }) => code)).not.toContain('vehicle-doubtful')
  expect(light.pairs.length).toBe(3)
})

it('no claim of bicycles that are taken for a car is supported, whatever the fuel says', async () => {
  const names = [1, 2, 3, 4, 5, 6].map((n) => `ride${n}`)
  const rides = names.map((name) => recorded(name, ride))
  const rows = names.map((name, i) => `${name}.gpx,${i < 3 ? 'a' : 'b'},${i < 3 ? 0.3 : 0.2}`).join('\n')
  const claimOf = async (vehicle: string) => {
    const settings = inputFile(
      'campaign.yaml',
      `baseline: a\nvehicle: ${vehicle}\nfuel: { fill_repeatability_l: 0.001 }\n`,
    )
    const table = inputFile('runs.csv', `track,setup,fuel_l\n${rows}\n`)
    return (await reportOf([...rides, weather, settings, table], { draws: 50 })).claims[0]
  }
  expect(await claimOf('{ class: car }')).toMatchObject({ verdict: 'unresolved', held_back: 'vehicle-doubtful' })
  expect((await claimOf('{ mass_kg: 85 }')).held_back).not.toBe('vehicle-doubtful')
})

it('of ten towns, three cars and a bus in each, the buses are found and no car is taken for another vehicle', async () => {
  let [found, wrong] = [0, 0]
  for (let town = 0; town < 10; town++) {
    const own = simulateRoad({
      seed: `town ${town}`,
      shape: 'one-way',
      lengthM: 6000,
      latitudeDeg: 48,
      longitudeDeg: 9,
    })
    const of = (name: string, mover: Mover) => recorded(`${name}-${town}`, (_, seed) => mover(own, seed), own)
    const files = [of('car1', car), of('car2', car), of('car3', car), of('bus', rideBus)]
    for (const { id, flags } of (await reportOf(files, { draws: 10 })).runs) {
      const flagged = flags.some(({ code }) => OTHER.test(code))
      if (flagged && id.startsWith('bus')) found++
      if (flagged && id.startsWith('car')) wrong++
    }
  }
  expect(wrong).toBe(0)
  expect(found).toBeGreaterThanOrEqual(8)
})

// Real drives of cars (mobilitynet, rsk-twizy: see their SOURCE.md), each set as one campaign.
it.each(['mobilitynet/gpx', 'rsk-twizy/gpx_fixes'])('no drive of %s is taken for another vehicle', async (folder) => {
  const report = await reportOf(
    folderFiles(`test/data/${folder}`, (p) => p.endsWith('.gpx.gz')),
    { draws: 50 },
  )
  expect(report.runs.length).toBeGreaterThan(5)
  for (const { id } of report.runs) expect([id, codesOf(report, id).filter((c) => OTHER.test(c))]).toEqual([id, []])
})

// A lorry that weighs 40 kg or more for each kilowatt speeds up from 20 to 80 km/h with 1000·0.5/(40·14) = 0.9 m/s² at
// most, as gently as a train (energy over time), and on a trunk road without sharp bends it stops as rarely (two or three times here).
it('what moves like a train where others drive by road is a vehicle on a road; on its own line it is a train', async () => {
  const [trunk, line] = [48, 49].map((latitudeDeg) =>
    simulateRoad({
      seed: 'straight',
      shape: 'one-way',
      lengthM: 10_000,
      latitudeDeg,
      longitudeDeg: 9,
      straightCourseDeg: 80,
    }),
  )
  const lorries = (_: Road, seed: string): TrueMotion => rideTrain(trunk, seed, 22)
  const drives = [1, 2, 3].map((n) => recorded(`drive${n}`, (_, seed) => drive(trunk, { seed }), trunk))
  const files = [...drives, recorded('lorry', lorries, trunk), weather]
  const report = await reportOf([...files, recorded('train', (_, seed) => rideTrain(line, seed), line)], { draws: 20 })
  expect(codesOf(report, 'lorry').filter((c) => OTHER.test(c))).toEqual([])
  expect(comparedIn(report)).toContain('lorry')
  expect(codesOf(report, 'train')).toContain('moves-like-train')
})
