import { type BadInput, drive, gpx, pointText, START, spoilt, type WrittenPoint } from './make.ts'

const sound = drive()
type Edit = (point: WrittenPoint, i: number) => Partial<WrittenPoint>
const bad = (what: string, edit: Edit, code: string | null, run: boolean, count = 120): BadInput => ({
  what,
  path: 'bad.gpx',
  make: () => spoilt(edit, count),
  code,
  run,
})
const some =
  (edit: Edit): Edit =>
  (point, i) =>
    i % 10 === 5 ? edit(point, i) : {}
const iso = (ms: number): string => new Date(ms).toISOString()

/** Coordinates and elevations that are no numbers, or no places. */
export const positions: BadInput[] = [
  ...[
    'NaN',
    'Infinity',
    '-Infinity',
    '1e400',
    '0x34',
    '',
    ' ',
    'fifty',
    '52°15.3',
    '--52',
    '5 2',
    '٥٢',
    'null',
    '𝟓𝟐',
  ].flatMap((word) => [
    bad(`every latitude is "${word}"`, () => ({ lat: word }), 'position-unreadable', false),
    bad(
      `some longitudes are "${word}"`,
      some(() => ({ lon: word })),
      'position-unreadable',
      true,
    ),
    bad(
      `some elevations are "${word}"`,
      some(() => ({ ele: word })),
      word.trim() === '' ? 'elevation-missing' : 'elevation-unreadable',
      true,
    ),
  ]),
  bad(
    'a digit too many',
    some(() => ({ lat: '1e308' })),
    'impossible-positions',
    true,
  ),
  bad('every latitude beyond the pole', () => ({ lat: '90.0001' }), 'impossible-positions', false),
  bad('every longitude beyond the antimeridian', () => ({ lon: '-180.5' }), 'impossible-positions', false),
  bad(
    'some latitudes beyond the pole',
    some(() => ({ lat: '-91' })),
    'impossible-positions',
    true,
  ),
  bad(
    '0° north 0° east now and then',
    some(() => ({ lat: '0', lon: '0' })),
    'impossible-positions',
    true,
  ),
  bad(
    'latitude and longitude exchanged, and impossible',
    ({ lat }) => ({ lat: '151', lon: lat }),
    'impossible-positions',
    false,
  ),
  bad(
    'latitude and longitude exchanged here and there',
    some(({ lat, lon }) => ({ lat: lon, lon: lat })),
    'spikes',
    true,
  ),
  bad('decimal commas', ({ lat }) => ({ lat: lat.replace('.', ','), lon: '5,0' }), 'decimal-comma', true),
  bad(
    'across the antimeridian',
    (_, i) => ({ lat: '-16.8', lon: (((179.99 + i * 2.5e-4 + 180) % 360) - 180).toFixed(6) }),
    null,
    true,
  ),
  bad(
    'across the pole',
    (_, i) => ({ lat: (90 - Math.abs(i - 60) * 2.2e-4).toFixed(6), lon: i < 60 ? '10' : '-170' }),
    null,
    true,
  ),
  bad(
    'at the pole, going round',
    (_, i) => ({ lat: '89.9999', lon: String(((i * 30 + 180) % 360) - 180) }),
    'track-too-short',
    false,
  ),
  bad('longitudes of 0 to 360', () => ({ lon: '185' }), 'impossible-positions', false),
  bad(
    'another place each second',
    (_, i) => ({ lat: String((i * 37) % 90), lon: String((i * 71) % 180) }),
    'track-too-short',
    false,
  ),
  bad('faster than sound', (_, i) => ({ lat: (40 + i * 0.01).toFixed(4) }), 'track-too-short', false),
  bad('never moving', () => ({ lat: '52' }), 'track-too-short', false),
  bad('moving by a millimetre', (_, i) => ({ lat: (52 + i * 1e-8).toFixed(8) }), 'track-too-short', false),
  bad(
    'some elevations of 10^308 m',
    some(() => ({ ele: '1e308' })),
    'elevation-outliers',
    true,
  ),
  bad('every elevation of 10^308 m', () => ({ ele: '1e308' }), 'elevation-outliers', true),
  bad('elevations that jump by 1,000 m', (_, i) => ({ ele: String((i % 2) * 1000) }), 'elevation-outliers', true),
  bad('elevations with a unit', () => ({ ele: '3 m' }), 'elevation-unreadable', true),
  bad('10,000 points in one place, the same in all', () => drive(1)[0], 'track-without-times', false, 10_000),
  bad('every point 100 times', (_, i) => sound[Math.floor(i / 100)], 'duplicate-points', true, 12_000),
]

const withTimes = (
  what: string,
  time: (i: number) => string,
  code: string | null,
  run: boolean,
  count = 120,
): BadInput => bad(what, (_, i) => ({ time: time(i) }), code, run, count)

const sorted = (i: number): number => START + i * 1000

/** Times that are none, or that no drive could have. */
export const times: BadInput[] = [
  ...[
    ['words', 'yesterday'],
    ['milliseconds', '1714725000000'],
    ['the 31st of February', '2024-02-31T08:00:00Z'],
    ['hour 25', '2024-05-03T25:00:00Z'],
    ['minute 60', '2024-05-03T08:60:00Z'],
    ['an offset of 25 hours', '2024-05-03T08:00:00+25:00'],
    ['week dates', '2024-W18-5T08:00:00Z'],
    ['a year of two digits', '24-05-03T08:00:00Z'],
    ['a year before the first', '-0044-03-15T12:00:00Z'],
    ['a year of five digits', '+12024-05-03T08:00:00Z'],
    ['dates alone', '2024-05-03'],
    ['day and month exchanged', '05/03/2024 08:30'],
    ['a leap second where none can be', '2024-05-03T08:13:60Z'],
    ['NaN', 'NaN'],
    ['full-width digits', '２０２４-05-03T08:00:00Z'],
  ].flatMap(([what, word]) => [
    withTimes(`all times are ${what}`, () => word, 'time-unreadable', false),
    withTimes(`some times are ${what}`, (i) => (i % 10 === 5 ? word : iso(sorted(i))), 'time-unreadable', true),
  ]),
  withTimes('no times', () => '', 'track-without-times', false),
  withTimes('blanks for times', () => ' \n ', 'track-without-times', false),
  withTimes('every second time is missing', (i) => (i % 2 ? '' : iso(sorted(i))), 'missing-times', true),
  withTimes('all times alike', () => iso(START), 'track-without-times', false),
  withTimes('two times, 60 s apart', (i) => iso(START + (i < 60 ? 0 : 60_000)), 'track-too-short', false),
  withTimes('the year 1', (i) => `0001-01-01T00:${iso(sorted(i)).slice(14)}`, 'impossible-times', false),
  withTimes('the year 0', (i) => `0000-01-01T00:${iso(sorted(i)).slice(14)}`, 'impossible-times', false),
  withTimes('1970, for want of a clock', (i) => iso(i * 1000), 'impossible-times', false),
  withTimes('1980, for want of a fix', (i) => iso(Date.UTC(1980, 0, 6) + i * 1000), 'impossible-times', false),
  withTimes('2100', (i) => iso(Date.UTC(2100, 0) + i * 1000), 'impossible-times', false),
  withTimes('the year 9999', (i) => iso(Date.UTC(9999, 11, 31) + i * 1000), 'impossible-times', false),
  withTimes('across the end of 32-bit time', (i) => iso(2 ** 31 * 1000 - 60_000 + i * 1000), null, true),
  withTimes(
    'across a leap second',
    (i) => (i === 60 ? '2016-12-31T23:59:60Z' : iso(Date.UTC(2017, 0) + (i < 60 ? i - 60 : i - 61) * 1000)),
    null,
    true,
  ),
  withTimes(
    'across midnight as hour 24',
    (i) => (i === 60 ? '2024-05-03T24:00:00Z' : iso(Date.UTC(2024, 4, 4) + (i - 60) * 1000)),
    null,
    true,
  ),
  withTimes('no zone', (i) => iso(sorted(i)).slice(0, 19), 'time-without-zone', true),
  withTimes(
    'an offset that changes half way',
    (i) => `${iso(sorted(i) + (i < 60 ? 1 : 2) * 3_600_000).slice(0, 19)}+0${i < 60 ? 1 : 2}:00`,
    null,
    true,
  ),
  withTimes(
    'local time without a zone over the change to summer time',
    (i) => iso(sorted(i) + (i < 60 ? 0 : 3_600_000)).slice(0, 19),
    'clock-jump',
    true,
  ),
  withTimes('backwards', (i) => iso(START - i * 1000), 'out-of-order', true),
  withTimes('in no order', (i) => iso(START + ((i * 77) % 120) * 1000), 'out-of-order', false),
  withTimes('two clocks by turns', (i) => iso(sorted(i) + (i % 2) * 86_400_000 * 365), 'clock-jump', true),
  withTimes('one point in another year', (i) => iso(sorted(i) + (i === 60 ? 86_400_000 * 365 : 0)), 'clock-jump', true),
  withTimes(
    'a clock set forward at every fifth fix',
    (i) => iso(sorted(i) + Math.floor(i / 5) * 200_000),
    null,
    true,
    20_000,
  ),
  withTimes('a thousandth of a second apart', (i) => iso(START + i), 'track-too-short', false, 20_000),
  withTimes(
    'a billionth of a second apart',
    (i) => `2024-05-03T08:30:00.${String(i).padStart(9, '0')}Z`,
    'track-without-times',
    false,
  ),
  withTimes(
    'a point every 11 hours for 30 years',
    (i) => iso(Date.UTC(1991, 0) + i * 11 * 3_600_000),
    'track-too-long',
    false,
    24_000,
  ),
  withTimes(
    'a point every 11 hours for a year',
    (i) => iso(Date.UTC(2024, 0) + i * 11 * 3_600_000),
    'track-too-long',
    false,
    800,
  ),
  withTimes('one point', (i) => iso(sorted(i)), 'track-too-short', false, 1),
  withTimes('two points', (i) => iso(sorted(i)), 'track-too-short', false, 2),
  withTimes('nine points over two minutes', (i) => iso(START + i * 15_000), 'track-too-short', false, 9),
  withTimes('59 seconds', (i) => iso(sorted(i)), 'track-too-short', false, 60),
  {
    what: 'a time twice in each point',
    path: 'bad.gpx',
    make: () =>
      gpx(drive(), undefined, (p) => pointText(p).replace('</time>', '</time><time>1999-01-01T00:00:00Z</time>')),
    code: null,
    run: true,
  },
]
