import { STRIPS } from '../../along-data.ts'
import type { Markup } from '../../markup.ts'
import { gradientPct } from './gradient.ts'
import type { PlottedRoad } from './plotted-runs.ts'
import type { Projection } from './road-map.ts'

/** What the script tells at a place on a road: a value for each cell, null where it is not known; SI. */
export interface RoadValues {
  lengthM: number
  /** Where the cell lies on the road's maps, px. */
  trace: [x: number, y: number][]
  elevation: Values | null
  /** Percent. */
  gradient: Values | null
  /** In the order of the drives' places. */
  drives: { number: number; strips: Record<string, Values> }[]
}

type Values = (number | null)[]

/** Four digits carry every reading in every system of units. */
const DIGITS = 4

/** The values of a road and its drives as a block of data in the page. It holds numbers and our own names only. */
export function roadValuesBlock({ road, runs }: PlottedRoad, { x, y }: Projection): Markup {
  const values: RoadValues = {
    lengthM: road.lengthM,
    trace: Array.from(road.latitude, (latitude, i) => [x(road.longitude[i]), y(latitude)]),
    elevation: road.elevation && rounded(road.elevation.heightM),
    gradient: road.elevation && rounded(gradientPct(road)),
    drives: runs.map(({ number, strips }) => ({
      number,
      strips: Object.fromEntries(STRIPS.map((strip) => [strip, rounded(strips[strip])])),
    })),
  }
  return { markup: `<script type="application/json">${JSON.stringify(values)}</script>\n` }
}

const rounded = (column: ArrayLike<number>): Values =>
  Array.from(column, (value) => (Number.isFinite(value) ? Number(value.toPrecision(DIGITS)) : null))
