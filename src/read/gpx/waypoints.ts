import type { Outcome } from '../../base/problem.ts'
import { found } from '../../base/problem.ts'
import { parseInstant } from '../instant.ts'
import type { Waypoint } from '../types.ts'
import { type Feature, featuresOf } from '../xml-dom.ts'
import type { GpxScan } from './cursor.ts'
import { ownText } from './values.ts'

/** The most waypoint text, in characters, that is handed to the slow reader: a quarter of a second's work. */
const MOST_TEXT = 262_144

/**
 * Reads the waypoints that were cut out of a GPX file, as a small document of their own, by togeojson with xmldom.
 * Waypoints without a readable position are left out.
 */
export function readWaypoints(scan: GpxScan): Outcome<Waypoint[]> {
  if (scan.waypointXml.length === 0) return found([])
  const kept = fitting(scan.waypointXml)
  const features = featuresOf(withoutPrefix(scan, kept.join('\n')), 'gpx')
  if (features.value === null) {
    const why = features.problems.map(({ message }) => message).join('; ')
    return found([], [note(`the file's ${scan.waypointCount} waypoints could not be read: ${why}`)])
  }
  const waypoints = features.value.flatMap(waypointOf)
  const lost = scan.waypointXml.length - waypoints.length
  if (lost === 0) return found(waypoints)
  const reasons = kept.length < scan.waypointXml.length ? 'too many for one file' : 'without a readable position'
  return found(waypoints, [note(`${lost} of ${scan.waypointXml.length} waypoints are left out: ${reasons}`)])
}

const note = (message: string) => ({ code: 'waypoints-left-out', severity: 'note' as const, message })

function fitting(pieces: string[]): string[] {
  let length = 0
  return pieces.filter((piece) => {
    length += piece.length
    return length <= MOST_TEXT
  })
}

/** A document of the root's start tag and the waypoints; togeojson finds elements by the name as written, so a prefix is taken off. */
function withoutPrefix(scan: GpxScan, waypoints: string): string {
  const root = scan.root ?? 'gpx'
  const document = `${scan.rootTag.replace(/\/?>$/, '>')}${waypoints}</${root}>`
  const prefix = root.slice(0, root.indexOf(':') + 1)
  return prefix === '' ? document : document.replaceAll(`<${prefix}`, '<').replaceAll(`</${prefix}`, '</')
}

function waypointOf(feature: Feature): Waypoint[] {
  if (feature.geometry?.type !== 'Point') return []
  const [longitude, latitude, elevation = Number.NaN] = feature.geometry.coordinates
  const { name, time } = feature.properties ?? {}
  return [
    {
      name: typeof name === 'string' ? ownText(name.trim()) || null : null,
      latitude,
      longitude,
      elevation,
      time: typeof time === 'string' ? parseInstant(time).seconds : Number.NaN,
    },
  ]
}
