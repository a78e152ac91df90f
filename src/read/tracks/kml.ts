import { readKml } from '../kml.ts'
import { trackReader } from './reader.ts'

export const kmlReader = trackReader({
  kind: 'kml',
  recognises: ({ root }) => root === 'kml',
  read: readKml,
  format: { name: 'KML', holds: 'with timed tracks: `gx:Track`, or `when` beside the places.' },
})
