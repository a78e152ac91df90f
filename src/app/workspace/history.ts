import { EMPTY, type Workspace } from './workspace.ts'

/** A workspace, and what was done to come to it. */
export interface Step {
  workspace: Workspace
  /** "exclude monday.gpx"; empty for the first. */
  done: string
}

/** All that was done, in order; what was taken back stands ready to be done again. */
export interface History {
  past: readonly Step[]
  now: Step
  future: readonly Step[]
}

/** More steps than these are forgotten, the oldest first. */
const MOST_STEPS = 200

export const BEGINNING: History = { past: [], now: { workspace: EMPTY, done: '' }, future: [] }

/** With one more step; what had been taken back is forgotten. */
export function withStep({ past, now }: History, workspace: Workspace, done: string): History {
  return { past: [...past, now].slice(-MOST_STEPS), now: { workspace, done }, future: [] }
}

/** One step back; unchanged where there is none. */
export function undone(history: History): History {
  const { past, now, future } = history
  const before = past.at(-1)
  return before ? { past: past.slice(0, -1), now: before, future: [now, ...future] } : history
}

/** One step forward again; unchanged where there is none. */
export function redone(history: History): History {
  const { past, now, future } = history
  const [next, ...rest] = future
  return next ? { past: [...past, now], now: next, future: rest } : history
}
