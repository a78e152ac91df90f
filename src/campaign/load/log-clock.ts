import type { Problem } from '../../base/problem.ts'
import { readCampaign } from '../../read/campaign/campaign.ts'
import { momentReader } from '../../read/moments.ts'
import type { Motion } from '../../track/types.ts'
import { firstCampaignFile } from './first-of-kind.ts'
import type { MappedFile, MappedTrack } from './map-file.ts'
import type { MappedDrive } from './mapped-drive.ts'

/** A drive with its motion, or without. */
type AnyDrive = MappedDrive & { motion?: Motion }

/**
 * Logs whose times name no zone, on the clock of `time_zone` of the folder's campaign.yaml, each from its own start; they
 * were read as UTC, because a file is read without the others. Without a `time_zone` they stay so, and it is told.
 */
export function onCampaignClock<F extends MappedFile>(files: readonly F[]): F[] {
  if (!files.some(isOfLocalClock)) return [...files]
  const { file: settings } = firstCampaignFile([...files])
  const timeZone = settings?.text == null ? null : (readCampaign(settings.text).value?.timeZone ?? null)
  return timeZone === null ? [...files] : files.map((file) => (isOfLocalClock(file) ? inZone(file, timeZone) : file))
}

const isOfLocalClock = ({ tracks }: MappedFile): boolean => tracks.some(({ isZoneless }) => isZoneless === true)

function inZone<F extends MappedFile>(file: F, timeZone: string): F {
  const told = file.problems.find(({ code }) => code === 'time-without-zone')
  const message = `times without a zone are read as ${timeZone}, by time_zone of campaign.yaml`
  const note: Problem = { code: 'time-zone-assumed', severity: 'note', message, ...(told?.line && { line: told.line }) }
  return {
    ...file,
    problems: [...file.problems.filter((problem) => problem !== told), note],
    notes: file.notes.filter((text) => !/times without a zone/.test(text)),
    tracks: file.tracks.map((track) => moved(track, timeZone)),
  }
}

function moved({ isZoneless, ...track }: MappedTrack, timeZone: string): MappedTrack {
  const first = track.drive?.fixes.time[0] ?? track.speed?.time[0]
  if (isZoneless !== true || first === undefined) return track
  const clockShiftS = momentReader(timeZone)({ seconds: first, zoneless: true }).seconds - first
  return {
    ...track,
    clockShiftS,
    drive: track.drive && shiftedDrive(track.drive, clockShiftS),
    ...(track.speed && { speed: { ...track.speed, time: shifted(track.speed.time, clockShiftS) } }),
  }
}

const shifted = (time: Float64Array, byS: number): Float64Array => time.map((one) => one + byS)

function shiftedDrive<D extends AnyDrive>(drive: D, byS: number): D {
  const span = <S extends { fromTime: number; toTime: number }>(one: S): S => ({
    ...one,
    fromTime: one.fromTime + byS,
    toTime: one.toTime + byS,
  })
  const { fixes, log, gaps, pauses, summary, trace, rests, motion } = drive
  return {
    ...drive,
    fixes: { ...fixes, time: shifted(fixes.time, byS) },
    log: log && { ...log, time: shifted(log.time, byS) },
    gaps: gaps.map(span),
    pauses: pauses.map(span),
    summary: { ...summary, startTime: summary.startTime + byS, endTime: summary.endTime + byS },
    trace: { ...trace, time: shifted(trace.time, byS) },
    rests: rests.map(span),
    ...(motion && { motion: shiftedMotion(motion, byS) }),
  }
}

/** The same motion so much later. */
export const shiftedMotion = (motion: Motion, byS: number): Motion =>
  byS === 0 ? motion : { ...motion, startTime: motion.startTime + byS }

const MARK = ' clock '

/** The name of a recording whose clock was moved. */
export const onMovedClock = (source: string, clockShiftS: number | undefined): string =>
  clockShiftS === undefined || clockShiftS === 0 ? source : `${source}${MARK}${clockShiftS}`

/** The recording as it was read, and by how much its clock was moved, s. */
export function clockOf(recording: string): { source: string; shiftS: number } {
  const [source, shift] = recording.split(MARK)
  return { source, shiftS: shift === undefined ? 0 : Number(shift) }
}
