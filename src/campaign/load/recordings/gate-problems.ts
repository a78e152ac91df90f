import type { Problem } from '../../../base/problem.ts'
import type { GateSettings } from '../../../read/campaign/settings.ts'
import { firstOfEach } from '../../../read/many.ts'
import { type Gate, passesOf } from '../../../road/division/passes.ts'
import { stepM } from '../../../track/geodesy.ts'
import type { Recording, Session } from '../rows/drives-and-rows.ts'

/** Gates that no recording passes, and recordings that go from none to another. */
export function gateProblems(
  gates: GateSettings[],
  places: Gate[],
  recordings: Recording[],
  sessions: Session[],
): Problem[] {
  return [...neverPassed(gates, places, sessions), ...passedOnce(gates, places, recordings, sessions)]
}

function neverPassed(gates: GateSettings[], places: Gate[], sessions: Session[]): Problem[] {
  const isPassed = (place: Gate): boolean => sessions.some(({ trace }) => passesOf(place, trace).length > 0)
  return gates.flatMap(({ name, radiusM, line }, i): Problem[] => {
    const place = places[i]
    if (sessions.length === 0 || isPassed(place)) return []
    const { track, apartM } = nearestTo(place, sessions)
    const away = apartM < 10_000 ? `${Math.ceil(apartM)} m` : `${Math.round(apartM / 1000)} km`
    const exchanged = { ...place, latitude: place.longitude, longitude: place.latitude }
    const hint =
      Math.abs(place.longitude) <= 90 && isPassed(exchanged)
        ? 'lat and lon are exchanged: the other way round it is passed'
        : 'check its lat and lon, or give it a larger radius_m'
    const message = `gates: no recording passes "${name}" within ${radiusM} m; the nearest, ${track}, comes to ${away}`
    return [{ code: 'gate-never-passed', severity: 'error', message, hint, ...(line ? { line } : {}) }]
  })
}

function nearestTo({ latitude, longitude }: Gate, sessions: Session[]): { track: string; apartM: number } {
  let nearest = { track: sessions[0].track, apartM: Number.POSITIVE_INFINITY }
  for (const { track, trace } of sessions) {
    for (let i = 0; i < trace.latitude.length; i++) {
      const apartM = stepM(latitude, longitude, trace.latitude[i], trace.longitude[i])
      if (apartM < nearest.apartM) nearest = { track, apartM }
    }
  }
  return nearest
}

/** Recordings that pass gates, and yet go from none to another: no lap is closed, no drive ends. */
function passedOnce(gates: GateSettings[], places: Gate[], recordings: Recording[], sessions: Session[]): Problem[] {
  const once = recordings.flatMap(({ track, sessions: own }) => {
    const passes = own.map((s) => places.map((place) => passesOf(place, sessions[s].trace).length))
    if (passes.some((counts) => counts.reduce((a, b) => a + b, 0) > 1)) return []
    const gate = gates.find((_, g) => passes.some((counts) => counts[g] > 0))
    return gate ? [{ track, gate }] : []
  })
  return firstOfEach(
    once.map(({ track, gate: { name, radiusM, line } }) => ({
      ...(line ? { line } : {}),
      code: 'gate-passed-once',
      severity: 'warning' as const,
      message: `gates: ${track} passes "${name}" once within ${radiusM} m and no other gate; a drive goes from gate to gate, so it is taken as without gates`,
      hint: 'of a lap that does not close, set the gate where its end was recorded as well, or give it a larger radius_m',
    })),
    MOST_OF_A_KIND,
  )
}

/** A thousand recordings of one slip say so once. */
const MOST_OF_A_KIND = 20
