import type { Problem, Severity } from '../../base/problem.ts'
import type { Repairs } from '../types.ts'

type Sentence = { code: string; severity: Severity; say: (points: string) => string; hint?: string }

/** Steps of the clock are told one by one, where they are found. */
type Counted = Exclude<keyof Repairs, 'clockJumps'>

const SENTENCES: Record<Counted, Sentence> = {
  missingTimes: {
    code: 'missing-times',
    severity: 'warning',
    say: (points) => `${points} without a time, left out.`,
  },
  impossibleTimes: {
    code: 'impossible-times',
    severity: 'warning',
    say: (points) => `${points} left out, dated before 1990 or after 2099.`,
  },
  impossiblePositions: {
    code: 'impossible-positions',
    severity: 'warning',
    say: (points) => `${points} left out with no position, an impossible one, or 0° north 0° east.`,
  },
  outOfOrder: {
    code: 'out-of-order',
    severity: 'note',
    say: (points) => `${points} out of order in time; the track was sorted.`,
  },
  exactDuplicates: {
    code: 'duplicate-points',
    severity: 'note',
    say: (points) => `${points} left out: the same in every value as another.`,
  },
  repeatedTimes: {
    code: 'repeated-times',
    severity: 'note',
    say: (points) => `${points} left out: another point has the same time.`,
  },
  frozenFixes: {
    code: 'frozen-fixes',
    severity: 'warning',
    say: (points) => `${points} left out: an old position repeated while the vehicle drove on.`,
    hint: 'The logger writes rows faster than its receiver gives positions.',
  },
  spikes: {
    code: 'spikes',
    severity: 'warning',
    say: (points) => `${points} left out: the vehicle cannot have been there at that time.`,
  },
  elevationOutliers: {
    code: 'elevation-outliers',
    severity: 'note',
    say: (points) => `Elevation of ${points} not used: impossible, or no road can be that high or low.`,
  },
  standingDrift: {
    code: 'standing-drift',
    severity: 'note',
    say: (points) => `${points} recorded while standing moved to one place, so that drift adds no distance.`,
  },
}

/** One problem for each kind of repair that was made, with its count. */
export function repairProblems(repairs: Repairs): Problem[] {
  return (Object.keys(SENTENCES) as Counted[]).flatMap((kind) => repairProblem(kind, repairs[kind]))
}

/** The problem for so many repairs of a kind; none for none. */
export function repairProblem(kind: Counted, count: number): Problem[] {
  if (count === 0) return []
  const { code, severity, say, hint } = SENTENCES[kind]
  const message = say(count === 1 ? '1 point' : `${count} points`)
  return [hint ? { code, severity, message, hint } : { code, severity, message }]
}
