import { describe, expect, it } from 'vitest'
import type { Report } from '../../src/report/contract.ts'
import { DAY_START, exampleDay, ONE_DRIVE } from '../simulator/example-days.ts'
import { inputFile, reportOf } from './folder.ts'

/** Tracks whose latitude and longitude stand the other way round, against the same tracks as they should be. */
const days = [0, 1, 2].map((day) => exampleDay(ONE_DRIVE, { startS: DAY_START + day * 86_400 }).gpx)
const exchanged = (gpx: string): string => gpx.replace(/lat="([^"]+)" lon="([^"]+)"/g, 'lat="$2" lon="$1"')
const weather = inputFile(
  'weather.csv',
  `time,station,lat,lon,elevation_m,temperature_c,wind_speed_mps,wind_from_deg\n${days
    .flatMap((_, day) =>
      [-1, 0, 1].map(
        (hour) => `${new Date(1000 * (DAY_START + day * 86_400 + hour * 3600)).toISOString()},W,47.4,8.2,400,12,2,90`,
      ),
    )
    .join('\n')}\n`,
)
const report = (tracks: string[], yaml: string, ...more: ReturnType<typeof inputFile>[]): Promise<Report> =>
  reportOf([...tracks.map((gpx, i) => inputFile(`d${i}.gpx`, gpx)), inputFile('campaign.yaml', yaml), ...more], {
    draws: 50,
  })
const problemsOf = ({ problems }: Report, code: string) => problems.filter((p) => p.code === code)

describe('a track with latitude and longitude exchanged', () => {
  const [a, b, c] = days
  const wrong = [a, b, exchanged(c)]

  it('is told with the line that sets it right', async () => {
    const [told] = problemsOf(await report(wrong, 'title: x\n', weather), 'track-place-doubtful')
    expect(told.path).toBe('d2.gpx')
    expect(told.hint).toContain('exchanged_positions: [d2.gpx]')
  })

  it('is read the other way round where campaign.yaml says so, as if it had been right', async () => {
    const right = await report(days, 'title: x\n', weather)
    const set = await report(wrong, 'title: x\nexchanged_positions: [d2]\n', weather)
    const told = ({ runs, routes }: Report) => [
      runs.map((run) => [run.track, run.route, run.start_time, run.distance_m, run.mean_speed_mps, run.air]),
      routes.map(({ length_m: lengthM }) => lengthM),
    ]
    expect(told(set)).toEqual(told(right))
    expect(problemsOf(set, 'positions-exchanged').map(({ path, severity }) => [path, severity])).toEqual([
      ['d2.gpx', 'note'],
    ])
    expect(problemsOf(set, 'track-place-doubtful')).toEqual([])
  })

  it('all of them, held against the stations', async () => {
    const all = await report(days.map(exchanged), 'title: x\nexchanged_positions: all\n', weather)
    const right = await report(days, 'title: x\n', weather)
    expect(all.runs.map(({ air }) => air)).toEqual(right.runs.map(({ air }) => air))
    expect(all.problems.filter(({ code }) => code.startsWith('exchanged-'))).toEqual([])
    const alone = await report(days.map(exchanged), 'title: x\nexchanged_positions: all\n')
    expect(problemsOf(alone, 'exchanged-not-checked')).toHaveLength(3)
  })

  it('whose longitude is beyond 90° is one as well', async () => {
    // The same drive, moved 140° to the east: exchanged, no point has a latitude that can be.
    const east = days.map((gpx) => gpx.replace(/lon="([^"]+)"/g, (_, lon) => `lon="${Number(lon) + 140}"`))
    const set = await report([east[0], east[1], exchanged(east[2])], 'title: x\nexchanged_positions: [d2.gpx]\n')
    expect(problemsOf(set, 'track-place-doubtful')).toEqual([])
    const [told] = problemsOf(
      await report([east[0], east[1], exchanged(east[2])], 'title: x\n'),
      'track-place-doubtful',
    )
    expect([told.path, told.severity]).toEqual(['d2.gpx', 'error'])
    expect(told.hint).toContain('exchanged_positions: [d2.gpx]')
    expect(set.runs).toHaveLength(3)
    expect(new Set(set.runs.map(({ route }) => route)).size).toBe(1)
  })
})

describe('exchanged_positions', () => {
  it('of a track that is right is an error that says how far off it is then', async () => {
    const [told] = problemsOf(
      await report(days, 'title: x\nexchanged_positions: [d1.gpx]\n', weather),
      'exchanged-position-far',
    )
    expect([told.path, told.severity]).toEqual(['d1.gpx', 'error'])
    expect(told.message).toMatch(
      /begins at 8\.\d+ north, 47\.\d+ east, \d{4} km from every other recording and station/,
    )
  })

  it('that names no track is an error with its line', async () => {
    const said = problemsOf(
      await report(days, 'title: x\nexchanged_positions: [nowhere.gpx]\n', weather),
      'exchanged-track-unknown',
    )
    expect(said.map(({ path, line, severity }) => [path, line, severity])).toEqual([['campaign.yaml', 2, 'error']])
  })
})
