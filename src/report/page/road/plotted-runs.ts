import type { Along, AlongRoad, AlongRun } from '../../along-data.ts'
import type { Report } from '../../contract.ts'

/** A run as the drawings show it: its number in the report, its place among the drawn runs of its road, its stroke. */
export interface PlottedRun extends AlongRun {
  number: number
  setup: string | null
  startTime: string
  /** 0-based among the drawn runs of the road. */
  place: number
  /** One of STROKES: the ways a line is drawn, by colour and by dashes. */
  stroke: number
  /** Whether it is shown before anybody chooses. */
  shown: boolean
}

export interface PlottedRoad {
  road: AlongRoad
  /** Its place among the roads, from 1: what the drawings' ids are made of, since names of roads may differ in signs alone. */
  number: number
  runs: PlottedRun[]
}

export const STROKES = 12
/** Places for which the style sheet holds a rule. */
export const MOST_PLACES = 24
const MOST_SHOWN = 3

/** The roads with their runs, those that are shown first with strokes of their own. */
export function plottedRoads({ roads, runs }: Along, report: Report): PlottedRoad[] {
  const details = new Map(report.runs.map((run, i) => [run.id, { ...run, number: i + 1 }]))
  return roads.map((road, i) => {
    const here = runs.filter((run) => run.road === road.id && details.has(run.run)).slice(0, MOST_PLACES)
    const setups = here.map(({ run }) => details.get(run)?.setup ?? null)
    const shown = shownFirst(setups, report.settings.baseline)
    const order = [...shown, ...here.map((_, at) => at).filter((at) => !shown.includes(at))]
    return {
      road,
      number: i + 1,
      runs: here.map((run, place) => ({
        ...run,
        number: details.get(run.run)?.number ?? 0,
        setup: setups[place],
        startTime: details.get(run.run)?.start_time ?? '',
        place,
        stroke: order.indexOf(place) % STROKES,
        shown: shown.includes(place),
      })),
    }
  })
}

/** The first run with each setup, the baseline's first; where there is one setup only, its first two. */
function shownFirst(setups: readonly (string | null)[], baseline: string | null): number[] {
  const names = [...new Set(setups)].sort((a, b) => Number(b === baseline) - Number(a === baseline))
  const firsts = names.map((name) => setups.indexOf(name)).slice(0, MOST_SHOWN)
  return firsts.length === 1 && setups.length > 1 ? [firsts[0], firsts[0] === 0 ? 1 : 0] : firsts
}
