import { readFileSync } from 'node:fs'
import { gunzipSync } from 'node:zlib'
import type { TrackColumns } from '../../src/read/types.ts'
import { driveOf } from '../../src/track/drive.ts'
import type { Drive, Motion } from '../../src/track/types.ts'

/** The text of a file under test/data, unpacked when its name ends in .gz. */
export function dataText(path: string): string {
  const bytes = readFileSync(new URL(`../data/${path}`, import.meta.url))
  return (path.endsWith('.gz') ? gunzipSync(bytes) : bytes).toString('utf8')
}

/** Rows of a plain CSV (no quotes) as records. */
export function csvRows(path: string): Record<string, string>[] {
  const [head, ...rows] = dataText(path).trim().split(/\r?\n/)
  const names = head.split(',')
  return rows.map((row) => {
    const cells = row.split(',')
    return Object.fromEntries(names.map((name, i) => [name, cells[i] ?? '']))
  })
}

export type Point = { time: number; latitude: number; longitude: number; elevation?: number }

export function trackOf(points: Point[]): TrackColumns {
  return {
    name: null,
    index: 1,
    time: Float64Array.from(points, (p) => p.time),
    latitude: Float64Array.from(points, (p) => p.latitude),
    longitude: Float64Array.from(points, (p) => p.longitude),
    elevation: Float64Array.from(points, (p) => p.elevation ?? Number.NaN),
    segmentStart: Uint32Array.of(0),
    logged: {},
    zonelessTimes: 0,
  }
}

/** The track points of a well-formed GPX file of ours, read without the GPX reader so that a fault of it stays there. */
export function gpxTrack(path: string): TrackColumns {
  const points: Point[] = []
  for (const [, attributes, inside] of dataText(path).matchAll(/<trkpt\b([^>]*)>([\s\S]*?)<\/trkpt>/g)) {
    points.push({
      time: Date.parse(/<time>([^<]*)/.exec(inside)?.[1] ?? '') / 1000,
      latitude: Number(/lat="([^"]*)"/.exec(attributes)?.[1]),
      longitude: Number(/lon="([^"]*)"/.exec(attributes)?.[1]),
      elevation: Number(/<ele>([^<]*)/.exec(inside)?.[1] ?? Number.NaN),
    })
  }
  return trackOf(points)
}

/** The drive of a track that must be usable. */
export function mustDrive(track: TrackColumns): Drive {
  const outcome = driveOf(track)
  if (outcome.value === null) throw new Error(outcome.problems.map((problem) => problem.message).join(' '))
  return outcome.value
}

/** A column of a motion at a time, linear between samples; NaN outside. */
export function atTime(motion: Motion, column: Float64Array, time: number): number {
  const k = (time - motion.startTime) / motion.stepS
  if (k < 0 || k > motion.count - 1) return Number.NaN
  const below = Math.min(motion.count - 2, Math.floor(k))
  return column[below] + (k - below) * (column[below + 1] - column[below])
}

/** Normal draws that are the same on every run. */
export function normalDraws(seed: number): () => number {
  let state = seed >>> 0
  const uniform = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return (state + 0.5) / 4294967296
  }
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform())
}

/** Position errors (m, one axis) whose neighbours are alike: first-order Gauss-Markov with the given spread and memory. */
export function wander(count: number, sdM: number, memoryS: number, seed: number): Float64Array {
  const normal = normalDraws(seed)
  const keep = Math.exp(-1 / memoryS)
  const fresh = sdM * Math.sqrt(1 - keep * keep)
  const errors = new Float64Array(count)
  errors[0] = sdM * normal()
  for (let i = 1; i < count; i++) errors[i] = keep * errors[i - 1] + fresh * normal()
  return errors
}
