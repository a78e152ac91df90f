import { failed, found, type Outcome } from '../../base/problem.ts'
import type { CoastDownSettings } from '../../read/campaign/settings.ts'
import { LEAST_SPEED_HZ, type SpeedLog } from '../../track/speed-log.ts'
import type { MappedFile, MappedTrack } from '../load/map-file.ts'
import { namedBy } from '../load/names.ts'

/** The recording of coast-downs, with speeds recorded often enough. */
export interface Log {
  track: string
  of: MappedTrack
  speed: SpeedLog
}

/** The log that campaign.yaml names, where there is one and it is quick enough. */
export function logNamed({ track }: CoastDownSettings, mapped: readonly MappedFile[]): Outcome<Log> {
  const tracks = mapped.flatMap((file) => file.tracks.map((of) => ({ track: file.path, of })))
  const named = namedBy(track, tracks)
  const quick = named.flatMap(({ track, of }) => (of.speed ? [{ track, of, speed: of.speed }] : []))
  if (quick.length === 1) return found(quick[0])
  if (quick.length > 1)
    return failed({ code: 'coast-down-log', message: `track: "${track}" may be several logs, expected one` })
  if (named.length === 0)
    return failed({ code: 'coast-down-log', message: `track: found no log "${track}" in the folder` })
  const intervalS = Math.min(...named.map(({ of }) => of.drive?.speedIntervalS ?? Number.POSITIVE_INFINITY))
  const rate = Number.isFinite(intervalS) ? `a speed every ${Number(intervalS.toFixed(2))} s` : 'no recorded speed'
  const message = `track: found ${rate} in "${track}", expected a speed recorded at ${LEAST_SPEED_HZ} Hz or more: speeds from positions, and one value a second, are too noisy for a coast-down`
  return failed({ code: 'coast-down-rate', message })
}
