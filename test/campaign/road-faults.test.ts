import { describe, expect, it } from 'vitest'
import type { ReportRun } from '../../src/report/contract.ts'
import { gpxText } from '../simulator/device.ts'
import { normalDraws } from '../track/tracks.ts'
import { inputFile, reportOf } from './folder.ts'

type Place = [eastM: number, northM: number]

interface Lap {
  corners: Place[]
  /** Without a fix there, m from the begin. */
  dark?: (m: number) => boolean
}

/** A square road, 13 km round, and what may go wrong on it. Lengths follow from the corners. */
const square: Place[] = [
  [0, 0],
  [4000, 0],
  [4000, 2500],
  [0, 2500],
  [0, 0],
]
const GOOD: Lap = { corners: square }
/** Off the road for 1044 + 700 + 1044 m. */
const DETOUR: Lap = {
  corners: [[0, 0], [4000, 0], [4000, 700], [5000, 1000], [5000, 1700], [4000, 2000], ...square.slice(2)],
}
/** 3 km back and on again. */
const BACK: Lap = { corners: [[0, 0], [3500, 0], [500, 0], ...square.slice(1)] }
const TUNNEL: Lap = { corners: square, dark: (m) => m > 7500 && m < 8900 }
const LATE: Lap = { corners: [[1500, 0], ...square.slice(1)] }
const EARLY: Lap = { corners: [...square.slice(0, -1), [0, 1500]] }

const START = Date.UTC(2026, 4, 12, 7) / 1000

/** Laps one after the other at 15 m/s, a fix a second with a wandering error of two metres. */
function recorded(laps: Lap[], day: number): string {
  const fixes = {
    timeS: [] as number[],
    latitude: [] as number[],
    longitude: [] as number[],
    elevationM: [] as number[],
  }
  const draw = normalDraws(day + 1)
  let [time, errorEast, errorNorth] = [START + 86_400 * day, 0, 0]
  for (const { corners, dark = () => false } of laps) {
    let m = 0
    for (const [i, [toEast, toNorth]] of corners.slice(1).entries()) {
      const [fromEast, fromNorth] = corners[i]
      const lengthM = Math.hypot(toEast - fromEast, toNorth - fromNorth)
      for (let at = 0; at < lengthM; at += 15, m += 15, time++) {
        errorEast = 0.95 * errorEast + 0.6 * draw()
        errorNorth = 0.95 * errorNorth + 0.6 * draw()
        if (dark(m)) continue
        fixes.timeS.push(time)
        fixes.latitude.push(48 + (fromNorth + ((toNorth - fromNorth) * at) / lengthM + errorNorth) / 111_200)
        fixes.longitude.push(9 + (fromEast + ((toEast - fromEast) * at) / lengthM + errorEast) / 74_600)
        fixes.elevationM.push(300)
      }
    }
  }
  return gpxText(fixes, 'square')
}

/** Code and figure of what is said of a drive's road. */
function said({ flags }: ReportRun): Record<string, number> {
  const told = flags.filter(({ code }) => /^(detour|driven-twice|road-not-driven|part-of-route)$/.test(code))
  return Object.fromEntries(
    told.flatMap(({ code, figures }) =>
      Object.entries(figures ?? {}).flatMap(([name, value]) =>
        name.endsWith('_m') ? [[`${code} ${name}`, Number(value)]] : [],
      ),
    ),
  )
}

const WANTED: [string, Lap, Record<string, number>][] = [
  ['nothing', GOOD, {}],
  ['a detour', DETOUR, { 'detour length_m': 2800 }],
  ['a stretch driven twice', BACK, { 'detour length_m': 3000, 'driven-twice length_m': 3000 }],
  ['a tunnel', TUNNEL, {}],
]

describe('what is amiss with a drive on its road is named with its length', () => {
  it('on single drives, with a late start and an early end', async () => {
    const wanted: typeof WANTED = [
      ...WANTED,
      ['a late start', LATE, { 'part-of-route late_m': 1500 }],
      ['an early end', EARLY, { 'part-of-route early_m': 1500 }],
    ]
    const laps = [GOOD, ...wanted.map(([, lap]) => lap)]
    const report = await reportOf(laps.map((lap, day) => inputFile(`${day}.gpx`, recorded([lap], day))))
    expect(new Set(report.runs.map(({ route }) => route)).size).toBe(1)
    expect(report.runs.slice(1).map(said)).toEqual(wanted.map(([, , want]) => nearly(want)))
  })

  it('on laps of one file alike', async () => {
    const laps = [GOOD, ...WANTED.flatMap(([, lap]) => [lap, GOOD])]
    const report = await reportOf([inputFile('laps.gpx', recorded(laps, 0))])
    expect(report.runs).toHaveLength(laps.length)
    expect(report.runs.filter((_, i) => i % 2 === 1).map(said)).toEqual(WANTED.map(([, , want]) => nearly(want)))
    expect(report.runs.filter((_, i) => i % 2 === 0).every((run) => Object.keys(said(run)).length === 0)).toBe(true)
  })
})

/** A road is known in parts of a four hundredth, and smoothing cuts corners: to 100 m. */
const nearly = (want: Record<string, number>): Record<string, unknown> =>
  Object.fromEntries(
    Object.entries(want).map(([key, m]) => [
      key,
      expect.toSatisfy((found: number) => Math.abs(found - m) <= 100, `${m} m, give or take 100`),
    ]),
  )
