import { FitWriter } from '@markw65/fit-file-writer'
import { checksum } from '../../src/read/tracks/nmea/sentence.ts'
import { type BadInput, drive, joined, noise, utf8, utf16, type WrittenPoint } from './make.ts'

const sound = drive(120)
type Row = (point: WrittenPoint, i: number) => string

const bad = (path: string, what: string, make: BadInput['make'], code: string | null, run: boolean): BadInput => ({
  what: `${path.slice(path.lastIndexOf('.') + 1)}: ${what}`,
  path,
  make,
  code,
  run,
})

/** A log of the sound drive, its rows changed. */
const csv = (header: string, row: Row): string => `${header}\n${sound.map(row).join('\n')}\n`
const plainRow: Row = ({ time, lat, lon, ele }) => `${time},${lat},${lon},${ele},100,50`
const HEADER = 'time,lat,lon,altitude (m),speed (km/h),pack volts'
const someRows =
  (edit: Row): Row =>
  (point, i) =>
    i % 10 === 5 ? edit(point, i) : plainRow(point, i)

const csvLogs: BadInput[] = [
  bad(
    'log.csv',
    'columns of garbage',
    () => csv(HEADER, ({ time, lat, lon }) => `${time},${lat},${lon},<b>,\u0000,=1+1`),
    'log-cell-unreadable',
    true,
  ),
  bad(
    'log.csv',
    'numbers beyond all',
    () =>
      csv(
        HEADER,
        someRows(({ time, lat, lon }) => `${time},${lat},${lon},1e400,-1e308,9e999`),
      ),
    'log-cell-unreadable',
    true,
  ),
  bad(
    'log.csv',
    'positions of words',
    () => csv(HEADER, ({ time }) => `${time},here,there,1,1,1`),
    'log-cell-unreadable',
    false,
  ),
  bad(
    'log.csv',
    'no time that can be read',
    () => csv(HEADER, ({ lat, lon }) => `soon,${lat},${lon},1,1,1`),
    'log-time-unreadable',
    false,
  ),
  bad(
    'log.csv',
    'times from nowhere',
    () => csv(HEADER.replace('time', 'elapsed (s)'), ({ lat, lon }, i) => `${i},${lat},${lon},1,1,1`),
    'log-start-unknown',
    false,
  ),
  bad(
    'log.csv',
    'some times are words',
    () =>
      csv(
        HEADER,
        someRows(({ lat, lon }) => `?,${lat},${lon},1,1,1`),
      ),
    'time-unreadable',
    true,
  ),
  bad(
    'log.csv',
    'dates that can be read in two ways',
    () => csv(HEADER, ({ time, lat, lon }) => `03/05/2024 ${time.slice(11, 19)},${lat},${lon},1,1,1`),
    'date-order-unclear',
    false,
  ),
  bad(
    'log.csv',
    'a speed in no unit',
    () => csv(HEADER.replace('speed (km/h)', 'speed'), ({ time, lat, lon }) => `${time},${lat},${lon},1,0.001,1`),
    'log-unit-missing',
    true,
  ),
  bad(
    'log.csv',
    'a speed in the wrong unit',
    () =>
      csv(
        HEADER.replace('speed (km/h)', 'speed (m/s)'),
        ({ time, lat, lon, ele }) => `${time},${lat},${lon},${ele},90,1`,
      ),
    'recorded-speed-not-used',
    true,
  ),
  bad(
    'log.csv',
    'rows of too many cells',
    () =>
      csv(
        HEADER,
        someRows((p, i) => `${plainRow(p, i)},7,8,9`),
      ),
    'table-row-too-long',
    true,
  ),
  bad(
    'log.csv',
    'a quotation mark that is never closed',
    () =>
      csv(
        HEADER,
        someRows((p, i) => `"${plainRow(p, i)}`),
      ),
    'table-quote-open',
    true,
  ),
  bad('log.csv', 'cut off within a row', () => csv(HEADER, plainRow).slice(0, -25), 'table-row-too-short', true),
  bad('log.csv', 'a header alone', () => `${HEADER}\n`, 'table-no-rows', false),
  bad('log.csv', 'UTF-16', () => utf16(csv(HEADER, plainRow), false), null, true),
  bad(
    'log.csv',
    'a battery of no volts and infinite amperes',
    () => csv(`${HEADER},pack amps`, (p, i) => `${plainRow(p, i)},Infinity`),
    'log-cell-unreadable',
    true,
  ),
  bad(
    'log.csv',
    'a million rows',
    () => {
      const [head, ...rows] = csv(HEADER, plainRow).trimEnd().split('\n')
      return `${head}\n${`${rows.join('\n')}\n`.repeat(Math.ceil(1e6 / rows.length))}`
    },
    'duplicate-points',
    true,
  ),
]

const nmeaLine = (body: string): string => `$${body}*${checksum(body).toString(16).toUpperCase().padStart(2, '0')}`
const angle = (text: string, width: number): string => {
  const value = Math.abs(Number(text))
  const degrees = Math.floor(value)
  return `${String(degrees).padStart(width, '0')}${((value - degrees) * 60).toFixed(4).padStart(7, '0')}`
}
const rmc: Row = ({ time, lat, lon }) =>
  nmeaLine(`GPRMC,${time.slice(11, 19).replaceAll(':', '')},A,${angle(lat, 2)},N,${angle(lon, 3)},E,,,030524,,`)
const nmea = (row: Row, end: (i: number) => string = () => '\r\n'): string =>
  sound.map((p, i) => row(p, i) + end(i)).join('')

const nmeaLogs: BadInput[] = [
  bad('log.nmea', 'mixed line ends', () => nmea(rmc, (i) => ['\r\n', '\n', '\r', '\r\r\n', '\n\n'][i % 5]), null, true),
  bad(
    'log.nmea',
    'wrong checksums',
    () =>
      nmea((p, i) =>
        i % 10 === 5 ? rmc(p, i).replace(/.$/, 'Z') : i % 10 === 6 ? rmc(p, i).replace(',A,', ',A ,') : rmc(p, i),
      ),
    'nmea-checksum',
    true,
  ),
  bad(
    'log.nmea',
    'lines cut',
    () => nmea((p, i) => rmc(p, i).slice(0, i % 10 === 5 ? 31 : undefined)),
    'nmea-cut',
    true,
  ),
  bad(
    'log.nmea',
    'every checksum wrong',
    () => nmea((p, i) => rmc(p, i).replace(',A,', ',B,')),
    'nmea-no-epochs',
    false,
  ),
  bad(
    'log.nmea',
    'no date',
    () => nmea((p, i) => nmeaLine(rmc(p, i).slice(1, -3).replace('030524', ''))),
    'nmea-date-missing',
    false,
  ),
  bad(
    'log.nmea',
    'dates 1024 weeks too early',
    () => nmea((p, i) => nmeaLine(rmc(p, i).slice(1, -3).replace('030524', '170904'))),
    'nmea-week-rollover',
    true,
  ),
  bad(
    'log.nmea',
    'bytes of another program between',
    () => joined(utf8(nmea(rmc)), noise(5000), utf8(`\r\n${nmea(rmc)}`)),
    null,
    true,
  ),
  bad(
    'log.nmea',
    'void fixes',
    () => nmea((p, i) => nmeaLine(rmc(p, i).slice(1, -3).replace(',A,', ',V,'))),
    'track-too-short',
    false,
  ),
]

function fitFile(): Uint8Array {
  const writer = new FitWriter()
  const turn = Math.PI / 180
  writer.writeMessage(
    'file_id',
    {
      type: 'activity',
      manufacturer: 'development',
      product: 0,
      serial_number: 7,
      time_created: writer.time(new Date(sound[0].time)),
    },
    null,
    true,
  )
  for (const [i, { time, lat, lon, ele }] of sound.entries()) {
    const position = {
      position_lat: writer.latlng(Number(lat) * turn),
      position_long: writer.latlng(Number(lon) * turn),
    }
    writer.writeMessage(
      'record',
      { timestamp: writer.time(new Date(time)), ...position, altitude: Number(ele) },
      null,
      i === sound.length - 1,
    )
  }
  const { buffer, byteOffset, byteLength } = writer.finish()
  return new Uint8Array(buffer.slice(byteOffset, byteOffset + byteLength) as ArrayBuffer)
}
const FIT = fitFile()
const changedByte = (at: number, value: number): Uint8Array => FIT.map((byte, i) => (i === at ? value : byte))

const fitFiles: BadInput[] = [
  bad('ride.fit', 'cut off', () => FIT.slice(0, FIT.length - 100), 'fit-damaged', true),
  bad('ride.fit', 'cut off behind its header', () => FIT.slice(0, 14), 'fit-damaged', false),
  bad(
    'ride.fit',
    'a wrong checksum',
    () => changedByte(FIT.length - 1, FIT[FIT.length - 1] ^ 255),
    'fit-checksum',
    true,
  ),
  bad('ride.fit', 'a header that says too much', () => changedByte(7, 0x7f), 'fit-damaged', true),
  bad('ride.fit', 'noise behind its header', () => joined(FIT.slice(0, 14), noise(20_000)), 'fit-damaged', false),
  bad('ride.fit', 'noise behind its end', () => joined(FIT, noise(3000)), 'fit-damaged', true),
]

const tcx = (points: string): string =>
  `<TrainingCenterDatabase><Activities><Activity Sport="Other"><Lap><Track>${points}</Track></Lap></Activity></Activities></TrainingCenterDatabase>`
const tcxPoint: Row = ({ time, lat, lon }) =>
  `<Trackpoint><Time>${time}</Time><Position><LatitudeDegrees>${lat}</LatitudeDegrees><LongitudeDegrees>${lon}</LongitudeDegrees></Position></Trackpoint>`
const tcxOf = (row: Row): string => tcx(sound.map(row).join(''))
const geo = (features: unknown): string => JSON.stringify({ type: 'FeatureCollection', features })
const line = (times: unknown, coordinates: unknown = sound.map(({ lon, lat }) => [Number(lon), Number(lat)])) => [
  { type: 'Feature', properties: { coordinateProperties: { times } }, geometry: { type: 'LineString', coordinates } },
]

const documents: BadInput[] = [
  bad('a.tcx', 'cut off', () => tcxOf(tcxPoint).slice(0, -600), 'xml-not-well-formed', true),
  bad(
    'a.tcx',
    'some positions are words',
    () => tcxOf((p, i) => (i % 10 === 5 ? tcxPoint({ ...p, lat: 'north' }, i) : tcxPoint(p, i))),
    'tcx-value-unreadable',
    true,
  ),
  bad(
    'a.tcx',
    'entities',
    () => `<!DOCTYPE a [<!ENTITY a "aaaa"><!ENTITY b SYSTEM "file:///etc/passwd">]>${tcxOf(tcxPoint)}`,
    'doctype-refused',
    false,
  ),
  bad('a.tcx', 'elements ten thousand deep', () => tcx('<a>'.repeat(10_000)), 'xml-too-deep', false),
  bad(
    'a.tcx',
    'a planned course alone',
    () => '<TrainingCenterDatabase><Courses><Course><Track/></Course></Courses></TrainingCenterDatabase>',
    'no-tracks',
    false,
  ),
  bad('a.geojson', 'cut off', () => geo(line(sound.map(({ time }) => time))).slice(0, -300), 'json-unreadable', false),
  bad('a.geojson', 'times of words', () => geo(line(sound.map(() => 'later'))), 'time-unreadable', false),
  bad('a.geojson', 'fewer times than positions', () => geo(line([sound[0].time])), 'track-without-times', false),
  bad('a.geojson', 'no times', () => geo(line(undefined)), 'time-missing', false),
  bad(
    'a.geojson',
    'positions of anything',
    () =>
      geo(
        line(
          sound.map(({ time }) => time),
          sound.map((_, i) => [null, 'x', {}, [], 7][i % 5]),
        ),
      ),
    'impossible-positions',
    false,
  ),
  bad(
    'a.geojson',
    'features of anything',
    () => geo([null, 7, [], 'x', { geometry: { type: 'Point', coordinates: 3 } }]),
    'no-tracks',
    false,
  ),
]

/** Logs of every format, spoilt in every way that loggers and cards do. */
export const logs: BadInput[] = [...csvLogs, ...nmeaLogs, ...fitFiles, ...documents]
