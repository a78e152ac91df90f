import { ceterisSoon, type Ended } from '../cli/command.ts'

/** The program, all its connections led to a port of this computer. */
export const ceterisOn = (port: number, ...args: string[]): Promise<Ended> =>
  ceterisSoon({ ...process.env, NO_COLOR: '1', CETERIS_LOOPBACK_PORT: String(port) }, ...args)

type Place = [latitude: number, longitude: number]

/** A straight drive with a fix each second. */
export function trackBetween(from: Place, to: Place, start: string, seconds: number, elevationM = 300): string {
  const points = Array.from({ length: seconds }, (_, i) => {
    const share = i / (seconds - 1)
    const [latitude, longitude] = [0, 1].map((k) => (from[k] + share * (to[k] - from[k])).toFixed(7))
    const time = new Date(Date.parse(start) + i * 1000).toISOString()
    return `<trkpt lat="${latitude}" lon="${longitude}"><ele>${elevationM}</ele><time>${time}</time></trkpt>`
  })
  return `<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>${points.join('\n')}</trkseg></trk></gpx>`
}
