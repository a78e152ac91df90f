import { FitWriter } from '@markw65/fit-file-writer'

/** The straight drive of `straightTrack`: north along 5° E at 25 m/s, a fix each second. */
const places = (start: string, seconds: number) =>
  Array.from({ length: seconds }, (_, i) => ({
    date: new Date(Date.parse(start) + i * 1000),
    latitude: 52 + (i * 25) / 111_250,
    longitude: 5,
  }))

/** As a FIT file of @markw65/fit-file-writer (MIT). */
export function fitOf(start: string, seconds = 240): Uint8Array {
  const writer = new FitWriter()
  const created = { type: 'activity', manufacturer: 'development', product: 0, serial_number: 7 } as const
  writer.writeMessage('file_id', { ...created, time_created: writer.time(new Date(start)) }, null, true)
  for (const [i, { date, latitude, longitude }] of places(start, seconds).entries()) {
    const position = {
      position_lat: writer.latlng((latitude * Math.PI) / 180),
      position_long: writer.latlng((longitude * Math.PI) / 180),
    }
    writer.writeMessage('record', { timestamp: writer.time(date), ...position, altitude: 3 }, null, i === seconds - 1)
  }
  const { buffer, byteOffset, byteLength } = writer.finish()
  return new Uint8Array(buffer.slice(byteOffset, byteOffset + byteLength) as ArrayBuffer)
}

/** As RMC sentences. @source NMEA 0183: the checksum is the exclusive or of all characters between $ and * */
export const nmeaOf = (start: string, seconds = 240): string =>
  places(start, seconds)
    .map(({ date, latitude }) => {
      const [time, day] = [date.toISOString().slice(11, 19).replaceAll(':', ''), date.toISOString()]
      const minutes = ((latitude - 52) * 60).toFixed(5).padStart(8, '0')
      const body = `GPRMC,${time},A,52${minutes},N,00500.00000,E,48.6,0.0,${day.slice(8, 10)}${day.slice(5, 7)}${day.slice(2, 4)},,`
      const sum = Array.from(body).reduce((sofar, sign) => sofar ^ sign.charCodeAt(0), 0)
      return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}\r\n`
    })
    .join('')
