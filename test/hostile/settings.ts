import type { BadInput } from './make.ts'

const yaml = (what: string, text: string | (() => string), code: string | null): BadInput => ({
  what: `campaign.yaml: ${what}`,
  path: 'campaign.yaml',
  make: typeof text === 'string' ? () => text : text,
  code,
})

/** Key at its place, written in one line of flow style → values of a wrong kind, or out of range. */
const VALUES: [key: string, wrong: string[]][] = [
  ['title: $', ['[1]', '{a: 1}', '12']],
  ['time_zone: $', ['true', '[Europe/Vienna]']],
  ['baseline: $', ['[a]', '1.5']],
  ['margin_pct: $', ['1 %', '0', '-1', '1e400', '.nan', '.inf', 'true', '[1]', '0,5']],
  ['vehicle: $', ['van', '[1]', '1']],
  ['vehicle: {class: $}', ['lorry', '1']],
  ['vehicle: {mass_kg: $}', ['heavy', '1.5', '.nan', '1e9']],
  ['vehicle: {mass_kg_uncertainty: $}', ['-1', 'some']],
  ['vehicle: {drag_area_m2: $}', ['0', '-.inf', 'small']],
  ['vehicle: {drag_area_m2: 1, drag_area_m2_uncertainty: $}', ['99', '[]']],
  ['vehicle: {frontal_area_m2: $, drag_coefficient: 0.3}', ['250', 'wide']],
  ['vehicle: {frontal_area_m2: 2, drag_coefficient: $}', ['30', 'low']],
  ['vehicle: {rolling_resistance: $}', ['9.5', 'yes']],
  ['vehicle: {rolling_resistance_uncertainty: $}', ['1']],
  ['vehicle: {powertrain: $}', ['steam', '1']],
  ['vehicle: {reference_height_m: $}', ['200']],
  ['vehicle: {coast_down: $}', ['yes', '[1, 2, 3]']],
  [
    'vehicle: {coast_down: {a_n: $, b_n_per_mps: 1, c_n_per_mps2: 1, reference_temperature_c: 20, reference_density_kgm3: 1.2}}',
    ['-5', 'x'],
  ],
  ['setups: $', ['[a, b]', 'a', '1']],
  ['setups: {a: $}', ['skirts', '{b: c}', '[1]', '[[a]]']],
  ['fuel: $', ['petrol', '[1]']],
  ['fuel: {fill_repeatability_l: $}', ['-1', '1e9', 'good']],
  ['fuel: {meter_tolerance_pct: $}', ['50']],
  ['stations: $', ['[A]', 'KJFK']],
  ['stations: {A: $}', ['[1, 2]', '52']],
  ['stations: {A: {lat: $, lon: 5}}', ['91', '52N', '.nan']],
  ['stations: {A: {lat: 52, lon: $}}', ['181', 'x']],
  ['stations: {A: {elevation_m: $}}', ['1e5']],
  ['stations: {A: {anemometer_height_m: $}}', ['0']],
  ['terrain: $', ['hilly', '1']],
  ['limits: $', ['all', '{a: b}', '[1]']],
]

const laughs = [
  'a: &a [x, x]',
  ...'bcdefghijklm'.split('').map((c, i) => `${c}: &${c} [${Array(10).fill(`*${'abcdefghijklm'[i]}`).join(', ')}]`),
]

/** campaign.yaml with a mistake in every key, and YAML that is not meant well. */
export const settings: BadInput[] = [
  ...VALUES.flatMap(([key, wrong]) =>
    wrong.map((value) => yaml(key.replace('$', value), `${key.replace('$', value)}\n`, 'campaign-value')),
  ),
  yaml('a key nobody knows', 'margin: 1\ntitle: x\n', 'campaign-unknown-key'),
  yaml('an unknown key of the vehicle', 'vehicle: {weight: 1500}\n', 'campaign-unknown-key'),
  yaml('a missing key', 'vehicle: {coast_down: {a_n: 100}}\n', 'campaign-missing-key'),
  yaml('one half of the drag area', 'vehicle: {frontal_area_m2: 2}\n', 'campaign-drag-incomplete'),
  yaml('the drag area twice', 'vehicle: {frontal_area_m2: 2, drag_area_m2: 1}\n', 'campaign-drag-twice'),
  yaml('half a position', 'stations: {A: {lat: 52}}\n', 'campaign-station-position'),
  yaml('a baseline that is no setup', 'setups: {a: [b]}\nbaseline: c\n', 'campaign-baseline'),
  yaml('a baseline that nobody drove', 'setups: {a: [b]}\nbaseline: a\n', null),
  yaml('a time zone that does not exist', 'time_zone: Middle/Earth\n', 'campaign-time-zone'),
  yaml('a time zone of 150,000 characters', () => `time_zone: ${'x'.repeat(150_000)}\n`, 'campaign-value'),
  yaml('a key of 150,000 characters', () => `title: x\n? ${'x'.repeat(150_000)}\n: 1\n`, 'campaign-unknown-key'),
  yaml('a procedure nobody knows', 'limits: [my-own]\n', 'unknown-procedure'),
  yaml('a title of 150,000 characters', () => `title: ${'x'.repeat(150_000)}\n`, 'campaign-value'),
  yaml('a setup of 150,000 characters', () => `setups:\n ? ${'x'.repeat(150_000)}\n : [a]\n`, 'campaign-value'),
  yaml('a key twice', 'title: a\ntitle: b\n', 'yaml-duplicate-key'),
  yaml('two documents', 'title: a\n---\ntitle: b\n', 'yaml-second-document'),
  yaml('a tab for a blank', 'vehicle:\n\tclass: van\n', 'yaml-syntax'),
  yaml('a quotation mark never closed', 'title: "a\nmargin_pct: 1\n', 'yaml-syntax'),
  yaml('a bracket never closed', 'title: x\nlimits: [a, b\n', 'yaml-syntax'),
  yaml('aliases that expand to 10^12', `title: x\n${laughs.join('\n')}\nsetups: *m\n`, 'yaml-alias'),
  yaml('an alias of itself', 'title: x\nsetups: &a {b: *a}\n', 'campaign-value'),
  yaml('an alias of nothing', 'title: *nobody\n', 'yaml-alias'),
  yaml('merge keys', 'title: x\nstations: {A: &p {lat: 52, lon: 5}, B: {<<: *p}}\n', 'campaign-unknown-key'),
  yaml('100,000 brackets', () => `title: ${'['.repeat(100_000)}\n`, 'yaml-too-deep'),
  yaml('60,000 dashes', () => `title: x\nlimits:\n ${'- '.repeat(60_000)}a\n`, 'yaml-too-deep'),
  yaml(
    '600 levels of indentation',
    () => `title: x\n${Array.from({ length: 600 }, (_, i) => `${' '.repeat(i)}a:`).join('\n')}\n`,
    'yaml-too-deep',
  ),
  yaml('more than 200,000 characters', () => `title: ${'x'.repeat(1_100_000)}\n`, 'yaml-too-large'),
  yaml(
    '10,000 keys',
    () => `title: x\n${Array.from({ length: 10_000 }, (_, i) => `k${i}: ${i}`).join('\n')}\n`,
    'campaign-unknown-key',
  ),
  yaml(
    '10,000 setups',
    () => `setups:\n${Array.from({ length: 10_000 }, (_, i) => ` s${i}: [p${i}]`).join('\n')}\n`,
    null,
  ),
  yaml('a tag that makes an object', 'title: !!js/function "function () { return 1 }"\n', null),
  yaml('a binary tag', 'title: !!binary aGVsbG8=\n', 'campaign-value'),
  yaml('a date for a title', 'title: 2024-05-03\n', null),
  yaml('a set, a map of keys that are lists', 'title: x\nsetups: {? [a, b] : [c]}\n', null),
  yaml('__proto__ for a section', 'title: x\n__proto__: {margin_pct: 5}\n', 'campaign-unknown-key'),
  yaml('__proto__ for a setup', 'setups: {__proto__: [a], constructor: [b], toString: [c]}\n', null),
  yaml('nothing after the key', 'title:\nvehicle:\nsetups:\n a:\nstations:\n', null),
  yaml('nothing but a comment', '# title: x\n', 'unrecognised'),
  yaml('NUL bytes', 'title: "a\x00b"\nmargin_pct: \x00\n', 'campaign-value'),
  yaml(
    'words that would command a terminal',
    'title: "\\e[2J\\x9b31m\\a"\nsetups: {"\\e[31m": ["\\u202e"]}\nbaseline: "\\e[31m"\n',
    null,
  ),
  yaml('a title that would be a program', 'title: "</title><script>alert(1)</script>"\n', null),
  yaml('JSON', '{"title": "x", "margin_pct": "1"}', 'campaign-value'),
  yaml('JSON cut off', '{"title": "x", "margin_pct": ', 'yaml-syntax'),
]

const COORDINATES = (count: number): string =>
  Array.from({ length: count }, (_, i) => `<gx:coord>5 ${52 + (i * 25) / 111_250} 3</gx:coord>`).join('')
const WHEN = (count: number): string =>
  Array.from(
    { length: count },
    (_, i) => `<when>${new Date(Date.parse('2024-05-03T08:30:00Z') + i * 1000).toISOString()}</when>`,
  ).join('')
const document = (inside: string): string =>
  `<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2"><Document>${inside}</Document></kml>`
const placemark = (whens: string, coordinates: string): string =>
  document(`<Placemark><gx:Track>${whens}${coordinates}</gx:Track></Placemark>`)

const kml = (what: string, text: string | (() => string), code: string | null, run: boolean): BadInput => ({
  what: `KML: ${what}`,
  path: 'bad.kml',
  make: typeof text === 'string' ? () => text : text,
  code,
  run,
})

export const kmlFiles: BadInput[] = [
  kml('a track without times', placemark('', COORDINATES(120)), 'time-missing', false),
  kml('fewer times than places', placemark(WHEN(60), COORDINATES(120)), 'kml-times-mismatch', false),
  kml('more times than places', placemark(WHEN(120), COORDINATES(60)), 'kml-times-mismatch', false),
  kml('times and no places', placemark(WHEN(120), ''), 'no-tracks', false),
  kml(
    'words for places',
    placemark(WHEN(120), COORDINATES(120).replaceAll('>5 52', '>five fifty')),
    'track-too-short',
    false,
  ),
  kml(
    'words for times',
    placemark(WHEN(120).replaceAll('2024', 'last year'), COORDINATES(120)),
    'time-unreadable',
    false,
  ),
  kml(
    'a marked place',
    document('<Placemark><Point><coordinates>5,52</coordinates></Point></Placemark>'),
    'no-tracks',
    false,
  ),
  kml(
    'a link to another file',
    document('<NetworkLink><Link><href>file:///etc/passwd</href></Link></NetworkLink>'),
    'no-tracks',
    false,
  ),
  kml(
    'an entity from a file',
    `<!DOCTYPE kml [<!ENTITY x SYSTEM "file:///etc/passwd">]>${document('&x;')}`,
    'doctype-refused',
    false,
  ),
  kml('cut off', placemark(WHEN(120), COORDINATES(120)).slice(0, 9000), 'xml-not-well-formed', false),
  kml(
    'geometries in geometries, 5,000 deep',
    document(`<Placemark>${'<MultiGeometry>'.repeat(5000)}${'</MultiGeometry>'.repeat(5000)}</Placemark>`),
    'xml-too-deep',
    false,
  ),
  kml('nothing', '<kml/>', 'no-tracks', false),
  kml(
    'latitude before longitude',
    placemark(WHEN(120), COORDINATES(120).replaceAll(/>5 (\S+)/g, '>$1 151')),
    'impossible-positions',
    false,
  ),
  kml('400,000 empty elements', () => document('<a/>'.repeat(400_000)), 'no-tracks', false),
  kml('13 million characters', () => document('x'.repeat(13 * 2 ** 20)), 'file-too-large', false),
]
