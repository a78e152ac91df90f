import { present } from '../../../base/present.ts'
import { failed, found, type Outcome, type Problem } from '../../../base/problem.ts'
import type { EngineOff } from '../../../demand/engine.ts'
import { placeOfRow, rowKey } from '../../../read/runs/rows.ts'
import type { Part } from '../../../track/cut.ts'
import type { FoundDrive, Recording, Session } from './drives-and-rows.ts'
import { traceOfAll } from './stated-drives.ts'
import { statedTime } from './stated-times.ts'

type Span = Parameters<typeof statedTime>[2]

const MINUTES = /^(\d+(?:[.,]\d+)?)\s*(?:min|minutes?)?$/i
const NEVER = /^(?:no|n|never)$/i
/** "10:15-10:30", "12 km - 14 km"; dates hold hyphens themselves and take "to" or a slash. */
const ENDS = /^(.+?)\s*(?:–|\/|\bto\b)\s*(.+)$|^([^-]+)-([^-]+)$/i

/** Windows of a recording, as in `10:15-10:30; 11:02-11:10`: clock times, instants or distances, in their order. */
export function statedWindows(cell: string, what: string, span: Span, timeZone: string | null): Outcome<Part[]> {
  const windows: Part[] = []
  for (const text of cell.split(';').map((part) => part.trim())) {
    if (text === '') continue
    const ends = ENDS.exec(text)
    if (!ends) {
      const message = `${what}: found "${text.slice(0, 40)}", expected windows such as 10:15-10:30; 11:02-11:10`
      return failed({ code: 'stated-window-unreadable', message })
    }
    const [from, to] = [ends[1] ?? ends[3], ends[2] ?? ends[4]].map((end) => statedTime(end, what, span, timeZone))
    if (from.value === null || to.value === null) return { value: null, problems: [...from.problems, ...to.problems] }
    if (to.value <= from.value) {
      const message = `${what}: found ${text}, expected the second to be the later of the two`
      return failed({ code: 'stated-times-reversed', message })
    }
    windows.push({ fromTime: from.value, toTime: to.value })
  }
  windows.sort((a, b) => a.fromTime - b.fromTime)
  const overlap = windows.find((window, i) => i > 0 && window.fromTime < windows[i - 1].toTime)
  if (!overlap) return found(windows)
  return failed({ code: 'stated-windows-overlap', message: `${what}: the windows of "${cell.slice(0, 60)}" overlap` })
}

function statedEngineOff(cell: string, span: Span, timeZone: string | null): Outcome<EngineOff> {
  if (NEVER.test(cell.trim())) return found({ windows: [], seconds: 0 })
  const minutes = MINUTES.exec(cell.trim())
  if (minutes) return found({ windows: [], seconds: 60 * Number(minutes[1].replace(',', '.')) })
  const { value, problems } = statedWindows(cell, 'engine_off', span, timeZone)
  return value ? found({ windows: value, seconds: 0 }) : { value: null, problems }
}

/** Gives each drive what its row says of stops: where the engine was off, and what is left out of the drive. */
export function withStatedWindows(
  drives: FoundDrive[],
  recordings: Recording[],
  sessions: Session[],
  timeZone: string | null,
): Problem[] {
  const problems: Problem[] = []
  for (const recording of recordings) {
    const own = drives.filter(({ session }) => recording.sessions.includes(session))
    const span = { ...recording, trace: traceOfAll(recording.sessions.map((s) => sessions[s].trace)) }
    for (const key of new Set(own.flatMap(({ row }) => (row ? [rowKey(row)] : [])))) {
      const meant = own.filter(({ row }) => row !== null && rowKey(row) === key)
      const place = placeOfRow(present(meant[0].row))
      const { without, engineOff } = present(meant[0].row)
      const say = (more: Problem[]): void => {
        problems.push(...more.map((problem) => ({ ...problem, ...place })))
      }
      if (without !== null) {
        const read = statedWindows(without, 'without', span, timeZone)
        say(read.problems)
        say((read.value ?? []).flatMap((window) => leaveOut(window, meant)))
      }
      if (engineOff !== null) {
        const read = statedEngineOff(engineOff, span, timeZone)
        say(read.problems)
        for (const drive of meant) drive.engineOff = read.value
      }
    }
  }
  return problems
}

function leaveOut(window: Part, drives: FoundDrive[]): Problem[] {
  const within = drives.filter(({ fromTime, toTime }) => window.fromTime < toTime && window.toTime > fromTime)
  const say = (code: string, message: string): Problem[] => [{ code, severity: 'error', message }]
  if (within.length === 0) {
    const known = drives.map(({ track }) => track).join(', ')
    return say('stated-window-outside', `without: a window lies outside the drive (${known}); nothing is left out`)
  }
  for (const drive of within) {
    const [fromTime, toTime] = [Math.max(window.fromTime, drive.fromTime), Math.min(window.toTime, drive.toTime)]
    if (toTime - fromTime > 0.9 * (drive.toTime - drive.fromTime)) {
      return say('stated-window-whole', `without: nothing of ${drive.track} would be left; write exclude instead`)
    }
    drive.without.push({ fromTime, toTime })
  }
  return []
}
