import type { MappedDrive } from '../../campaign/load/mapped-drive.ts'
import type { Hidden } from '../../campaign/report/privacy.ts'
import type { Box } from '../../read/terrain/types.ts'

/** A square degree that a road touches. */
export interface Square {
  /** Its lower-left corner, whole degrees. */
  southDeg: number
  westDeg: number
  /** Around the roads in it, rounded out, degrees. */
  around: Box
}

/** The box around the roads is rounded out to so much, degrees: it is the only place that is told, and by blocks of a file. */
const ROUNDED_DEG = 0.05

/** The square degrees that roads touch, those of private places left out. */
export function squaresOf(drives: readonly MappedDrive[], hidden: Hidden | null): Square[] {
  const squares = new Map<string, Square>()
  for (const { path } of drives) {
    for (const [i, latitude] of path.latitude.entries()) {
      const longitude = path.longitude[i]
      if (path.inGap[i] === 1 || hidden?.(latitude, longitude)) continue
      const [southDeg, westDeg] = [Math.floor(latitude), Math.floor(longitude)]
      const key = cornerName(southDeg, westDeg)
      const known = squares.get(key)
      const around = boxWith(known?.around ?? null, latitude, longitude)
      squares.set(key, { southDeg, westDeg, around })
    }
  }
  return [...squares.entries()].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, square]) => square)
}

function boxWith(box: Box | null, latitude: number, longitude: number): Box {
  const down = (value: number): number => Math.floor(value / ROUNDED_DEG) * ROUNDED_DEG
  const up = (value: number): number => Math.ceil(value / ROUNDED_DEG) * ROUNDED_DEG
  const own = { southDeg: down(latitude), northDeg: up(latitude), westDeg: down(longitude), eastDeg: up(longitude) }
  if (box === null) return own
  return {
    southDeg: Math.min(box.southDeg, own.southDeg),
    northDeg: Math.max(box.northDeg, own.northDeg),
    westDeg: Math.min(box.westDeg, own.westDeg),
    eastDeg: Math.max(box.eastDeg, own.eastDeg),
  }
}

/** `N50E008` of a square's lower-left corner, as height files are named. */
export const cornerName = (southDeg: number, westDeg: number): string =>
  `${southDeg < 0 ? 'S' : 'N'}${pad(southDeg, 2)}${westDeg < 0 ? 'W' : 'E'}${pad(westDeg, 3)}`

export const pad = (degrees: number, digits: number): string => String(Math.abs(degrees)).padStart(digits, '0')
