import { readGpx } from '../gpx/read.ts'
import { trackReader } from './reader.ts'

export const gpxReader = trackReader({
  kind: 'gpx',
  recognises: ({ root }) => root === 'gpx',
  read: readGpx,
  format: {
    name: 'GPX',
    holds: '1.0 and 1.1. Each `<trk>` is a recording; segments of one are joined and the gap is marked.',
  },
})
