import { failed, found, type Outcome, type Problem } from '../../../base/problem.ts'
import { ownText } from '../../gpx/values.ts'
import type { TrackFile } from '../../types.ts'
import { growing, pushed, trimmed } from '../growing.ts'
import { lineStartsOf } from '../lines.ts'
import { trackReader } from '../reader.ts'
import { daysOfEpochs } from './days.ts'
import { checksum, readSentence, type Said } from './sentence.ts'

/** Where several receivers' systems give positions, the combined one leads, then the oldest. */
const TALKERS = ['GN', 'GP', 'GA', 'GL', 'GB', 'BD', 'GQ']

/** Of 82 characters in the standard, and what a logger writes before it. */
const LONGEST_SENTENCE = 160

interface Fault {
  count: number
  line: number
  sample: string
}

/** What the sentences of one file say: a row for each time of day, and what was left out. */
interface Epochs {
  columns: Columns
  faults: Record<'checksum' | 'cut', Fault>
  /** Talkers whose positions are not taken. */
  skipped: Set<string>
}

/**
 * Reads a log of NMEA 0183 sentences: RMC, GGA, GNS and GLL for positions, RMC and VTG for speed, RMC and ZDA for the date.
 * Sentences of one time of day are one row. Those whose checksum does not fit, and cut ones, are left out and counted.
 * @param text the decoded file, with any line ends
 */
export function readNmea(text: string): Outcome<TrackFile> {
  const lead = leadingTalker(text)
  const { columns, faults, skipped } = epochsOf(text, lead)
  return fileOf(columns, [...faultProblems(faults), ...otherTalkers([...skipped], lead)])
}

function epochsOf(text: string, lead: string): Epochs {
  const wantsChecksum = /\$[A-Z]{5},[^\r\n$]*\*[0-9A-F]{2}/i.test(text)
  const columns = emptyColumns()
  const faults = { checksum: noFault(), cut: noFault() }
  const skipped = new Set<string>()
  let now: Said | null = null
  for (const { line, text: written } of lineStartsOf(text)) {
    const read = readSentence(written, wantsChecksum)
    if (typeof read === 'string') continue
    if ('fault' in read) {
      count(faults[read.fault], line, written)
      continue
    }
    const { said } = read
    const isPlace = !['VTG', 'ZDA'].includes(said.formatter)
    if (isPlace && said.talker !== lead) {
      skipped.add(said.talker)
      continue
    }
    const isNew = !Number.isNaN(said.secondOfDay) && said.secondOfDay !== now?.secondOfDay
    if (now === null || isNew) {
      addRow(columns, now)
      now = { ...said }
    } else now = merged(now, said)
  }
  addRow(columns, now)
  return { columns, faults, skipped }
}

function count(fault: Fault, line: number, written: string): void {
  if (fault.count++ > 0) return
  fault.line = line
  fault.sample = ownText(written.trim().slice(0, LONGEST_SENTENCE))
}

function addRow(columns: Columns, said: Said | null): void {
  if (said === null || Number.isNaN(said.secondOfDay)) return
  pushed(columns.second, said.secondOfDay)
  pushed(columns.day, said.day)
  pushed(columns.latitude, said.latitude)
  pushed(columns.longitude, said.longitude)
  pushed(columns.elevation, said.elevation)
  pushed(columns.speed, said.speedMps)
}

const emptyColumns = () => ({
  second: growing(),
  day: growing(),
  latitude: growing(),
  longitude: growing(),
  elevation: growing(),
  speed: growing(),
})
type Columns = ReturnType<typeof emptyColumns>

const noFault = (): Fault => ({ count: 0, line: 0, sample: '' })

/** What is known already stands; the rest is added. */
function merged(known: Said, more: Said): Said {
  const or = (a: number, b: number): number => (Number.isNaN(a) ? b : a)
  const hasPlace = !Number.isNaN(known.latitude) && !Number.isNaN(known.longitude)
  return {
    ...known,
    secondOfDay: or(known.secondOfDay, more.secondOfDay),
    day: or(known.day, more.day),
    latitude: hasPlace ? known.latitude : more.latitude,
    longitude: hasPlace ? known.longitude : more.longitude,
    elevation: or(known.elevation, more.elevation),
    speedMps: or(known.speedMps, more.speedMps),
  }
}

/** The talker whose positions are taken: of those that give any. */
function leadingTalker(text: string): string {
  const seen = new Set<string>()
  const places = /\$([A-Z]{2})(?:RMC|GGA|GNS|GLL),/g
  for (let found = places.exec(text); found; found = places.exec(text)) seen.add(found[1])
  return TALKERS.find((talker) => seen.has(talker)) ?? [...seen][0] ?? ''
}

function fileOf(columns: Columns, problems: Problem[]): Outcome<TrackFile> {
  const second = trimmed(columns.second)
  if (second.length === 0) {
    const message =
      'no sentence of this file has a time and a whole checksum; expected $GPRMC, $GPGGA, $GNGNS or the like'
    return failed({ code: 'nmea-no-epochs', message }, problems)
  }
  const days = daysOfEpochs(second, trimmed(columns.day))
  if (days === null) {
    const message =
      'no sentence of this file names a date: its times of day belong to no day; expected $..RMC or $..ZDA among them'
    const hint =
      'Have the logger write RMC sentences, or add a line such as $GPZDA,201530.00,04,07,2002,00,00*60 of that day.'
    return failed({ code: 'nmea-date-missing', message, hint }, problems)
  }
  const time = days.map((day, i) => day * 86_400 + second[i])
  return found(trackFile(columns, time), [...problems, ...weekRollover(days)])
}

function trackFile(columns: Columns, time: Float64Array): TrackFile {
  const speed = trimmed(columns.speed)
  const hasSpeed = speed.some((value) => !Number.isNaN(value))
  return {
    format: 'nmea',
    version: null,
    creator: null,
    tracks: [
      {
        name: null,
        index: 1,
        time,
        latitude: trimmed(columns.latitude),
        longitude: trimmed(columns.longitude),
        elevation: trimmed(columns.elevation),
        logged: hasSpeed ? { speedMps: { values: speed, name: 'speed over ground (RMC, VTG)' } } : {},
        segmentStart: Uint32Array.of(0),
        zonelessTimes: 0,
      },
    ],
    waypoints: [],
    routeCount: 0,
  }
}

function faultProblems(faults: Record<'checksum' | 'cut', Fault>): Problem[] {
  const told = (code: string, { count, line, sample }: Fault, words: string): Problem[] =>
    count === 0
      ? []
      : [
          {
            code,
            severity: 'warning',
            message: `${count} ${count === 1 ? 'sentence' : 'sentences'} ${words}; the first is "${sample}"`,
            line,
          },
        ]
  const body = faults.checksum.sample.replace(/^[^$]*\$/, '').replace(/\*.*$/, '')
  const wanted = checksum(body).toString(16).toUpperCase().padStart(2, '0')
  return [
    ...told(
      'nmea-checksum',
      faults.checksum,
      `left out, because the checksum does not fit (expected *${wanted} in the first)`,
    ),
    ...told('nmea-cut', faults.cut, 'left out, cut off before the checksum'),
  ]
}

function otherTalkers(others: string[], lead: string): Problem[] {
  if (others.length === 0) return []
  const message = `positions are taken from the sentences of ${lead}; those of ${others.sort().join(', ')} are of the same receiver and not used`
  return [{ code: 'nmea-several-talkers', severity: 'note', message }]
}

/** Days of a receiver that counts weeks to 1024 and began anew: before this day hardly anybody kept a log. A choice. */
const EARLIEST_DAY = Date.UTC(2009, 0, 1) / 86_400_000
const ROLLOVER_DAYS = 7 * 1024

/** @source IS-GPS-200, 20.3.3.3.1.1: the week number is broadcast modulo 1024 */
function weekRollover(days: Float64Array): Problem[] {
  if (!(days[0] < EARLIEST_DAY)) return []
  const iso = (day: number): string => new Date(day * 86_400_000).toISOString().slice(0, 10)
  const message = `the dates of this file begin on ${iso(days[0])}; receivers that lost count of their weeks write dates ${ROLLOVER_DAYS} days too early (1024 weeks): then it was ${iso(days[0] + ROLLOVER_DAYS)}`
  const hint = 'If so, set the dates right in a copy of the file; else no weather of that day is found.'
  return [{ code: 'nmea-week-rollover', severity: 'warning', message, hint }]
}

export const nmeaReader = trackReader({
  kind: 'nmea',
  recognises: ({ head }) => /(?:^|[\r\n])[^\r\n$]{0,60}\$[A-Z]{2}(?:RMC|GGA|GNS|GLL|ZDA|VTG),/.test(head),
  read: readNmea,
  format: {
    name: 'NMEA 0183',
    holds:
      'RMC, GGA, GNS, GLL, VTG and ZDA sentences of any talker, each with its checksum; anything may stand before the `$`. The date comes from RMC or ZDA and goes on over midnight; a file without any date is refused.',
  },
})
