import { type BadInput, drive, gpx, HEAD, pointText } from './make.ts'

const path = 'bad.gpx'
const sound = gpx(drive())
const odd = (what: string, make: BadInput['make'], code: string | null, run?: boolean): BadInput => ({
  what,
  path,
  make,
  code,
  run,
})

const ENTITY = '<!DOCTYPE gpx [<!ENTITY a "52">]>'
const LAUGHS = `<!DOCTYPE gpx [<!ENTITY a0 "ha">${Array.from({ length: 30 }, (_, i) => `<!ENTITY a${i + 1} "${`&a${i};`.repeat(10)}">`).join('')}]>`
const deep = (levels: number): string => '<a>'.repeat(levels) + '</a>'.repeat(levels)
const around = (inside: string): string => sound.replace('<trk>', `${inside}<trk>`)

/** XML that is legal, or nearly, and not meant well. */
export const markup: BadInput[] = [
  odd('an entity of its own', () => ENTITY + sound.replaceAll('lat="52', 'lat="&a;'), 'doctype-refused', false),
  odd('entities that expand to 10^30', () => LAUGHS + around('<metadata>&a30;</metadata>'), 'doctype-refused', false),
  odd(
    'an external entity',
    () => `<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]>${around('<name>&x;</name>')}`,
    'doctype-refused',
    false,
  ),
  odd(
    'an external parameter entity',
    () => `<!DOCTYPE gpx [<!ENTITY % x SYSTEM "http://127.0.0.1:9/x.dtd"> %x;]>${sound}`,
    'doctype-refused',
    false,
  ),
  odd(
    'an external document type',
    () => `<!DOCTYPE gpx SYSTEM "http://127.0.0.1:9/gpx.dtd">${sound}`,
    'doctype-refused',
    false,
  ),
  odd('a document type that never ends', () => `<!DOCTYPE gpx [ <!-- ${sound}`, 'unrecognised', false),
  odd('a second document type inside', () => around('<!DOCTYPE gpx>'), 'xml-not-well-formed', false),
  odd('a web page', () => '<!DOCTYPE html><html><body>Please log in</body></html>', 'html-page', false),
  odd('a web page named so late', () => `<!-- ${'x'.repeat(40_000)} --><html><body/></html>`, 'html-page', false),
  odd(
    'an inclusion of another file',
    () => around('<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="file:///etc/passwd" parse="text"/>'),
    null,
    true,
  ),
  odd('a style sheet', () => `<?xml-stylesheet type="text/xsl" href="http://127.0.0.1:9/x.xsl"?>${sound}`, null, true),
  odd('100,000 elements deep', () => around(deep(100_000)), 'xml-too-deep', false),
  odd('100,000 elements deep and never closed', () => around('<a>'.repeat(100_000)), 'xml-too-deep', false),
  odd('tracks in tracks, 10,000 deep', () => `${HEAD}${'<trk><trkseg>'.repeat(10_000)}`, 'xml-not-well-formed', false),
  odd(
    'waypoints 20,000 deep',
    () => `${HEAD}${'<wpt lat="1" lon="2">'.repeat(20_000)}${'</wpt>'.repeat(20_000)}${sound.slice(HEAD.length)}`,
    'waypoints-left-out',
    true,
  ),
  odd('an attribute of a million characters', () => around(`<extensions a="${'x'.repeat(1e6)}"/>`), null, true),
  odd(
    'a creator of a million characters',
    () => sound.replace('creator="test"', `creator="${'x'.repeat(1e6)}"`),
    null,
    true,
  ),
  odd(
    '20,000 attributes',
    () => around(`<extensions ${Array.from({ length: 20_000 }, (_, i) => `a${i}="${i}"`).join(' ')}/>`),
    null,
    true,
  ),
  odd(
    '20,000 namespaces',
    () => around(`<extensions ${Array.from({ length: 20_000 }, (_, i) => `xmlns:a${i}="${i}"`).join(' ')}/>`),
    null,
    true,
  ),
  odd('a name of a million characters', () => around(`<${'x'.repeat(1e6)}/>`), null, true),
  odd('a root of a million characters', () => `<${'x'.repeat(1e6)}>${sound}`, 'unrecognised', false),
  odd('a million end tags in a comment', () => around(`<!--${'</trkpt>'.repeat(1e6)}-->`), null, true),
  odd('the same attribute twice', () => sound.replace('lon="5"', 'lon="5" lon="5"'), 'xml-not-well-formed', false),
  odd('attributes without quotation marks', () => sound.replaceAll('lon="5"', 'lon=5'), 'xml-not-well-formed', false),
  odd(
    'names in capitals',
    () => sound.toUpperCase().replace('<GPX', '<gpx').replace('</GPX', '</gpx'),
    'no-tracks',
    false,
  ),
  odd(
    'prefix and default namespace mixed',
    () => {
      const head = HEAD.replace('xmlns=', 'xmlns:g="http://www.topografix.com/GPX/1/1" xmlns=')
      return gpx(drive(), head, (p) => pointText(p).replace('<ele>', '<g:ele>').replace('</ele>', '</g:ele>'))
    },
    null,
    true,
  ),
  odd(
    'every name with a prefix',
    () => sound.replaceAll(/<(\/?)([a-z])/g, '<$1g:$2').replace('xmlns=', 'xmlns:g='),
    null,
    true,
  ),
  odd('a prefix nobody declared', () => sound.replaceAll(/<(\/?)([a-z])/g, '<$1g:$2'), null, true),
  odd(
    'points of another vocabulary',
    () =>
      around(
        `<o:trk xmlns:o="urn:other"><o:trkseg>${pointText(drive(1)[0]).replaceAll(/<(\/?)trkpt/g, '<$1o:trkpt')}</o:trkseg></o:trk>`,
      ),
    null,
    true,
  ),
  odd(
    'a default namespace that changes half way',
    () => sound.replace('<trkseg>', '<trkseg xmlns="urn:other">'),
    'no-tracks',
    false,
  ),
  odd(
    'a point within a point',
    () => sound.replace('<ele>3</ele>', `${pointText(drive(1)[0])}<ele>3</ele>`),
    null,
    true,
  ),
  odd('a comment within a time', () => sound.replaceAll('<time>2024', '<time><!-- x -->2024'), null, true),
  odd('times in CDATA', () => sound.replaceAll(/<time>([^<]*)/g, '<time><![CDATA[$1]]>'), null, true),
  odd('digits as character references', () => sound.replaceAll('lat="52', 'lat="&#53;&#x32;'), null, true),
  odd('a character reference to NUL', () => sound.replace('<ele>3', '<ele>&#0;3'), 'xml-fault-passed-over', true),
  odd(
    'a character reference beyond Unicode',
    () => sound.replace('<ele>3', '<ele>&#x110000;3'),
    'xml-fault-passed-over',
    true,
  ),
  odd('a control character', () => sound.replace('<ele>3', '<ele>\x013'), 'xml-fault-passed-over', true),
  odd('an entity that XML does not know', () => around('<desc>a&nbsp;b</desc>'), 'xml-fault-passed-over', true),
  odd('a bare ampersand', () => around('<desc>salt & pepper</desc>'), 'xml-fault-passed-over', true),
  odd('end tags exchanged', () => sound.replace('</ele><time>', '</time><time>'), 'xml-not-well-formed', false),
  odd('a second root', () => sound + sound, 'xml-not-well-formed', true),
  odd('text behind the root', () => `${sound}\nThank you for flying`, 'xml-not-well-formed', true),
  odd('text before the root', () => `hello\n${sound}`, 'unrecognised', false),
  odd('another root', () => sound.replaceAll('gpx ', 'tcx ').replace('</gpx>', '</tcx>'), 'unrecognised', false),
  odd(
    'a picture in SVG',
    () => '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0"/></svg>',
    'unrecognised',
    false,
  ),
  odd('a root and nothing in it', () => '<gpx/>', 'no-tracks', false),
  odd(
    'a route for a track',
    () =>
      sound.replaceAll('trkpt', 'rtept').replaceAll('trkseg>', 'rte>').replaceAll('trk>', 'x>').replaceAll('x>', ''),
    'xml-not-well-formed',
    false,
  ),
  odd('waypoints only', () => `${HEAD}<wpt lat="52" lon="5"/></gpx>`, 'no-tracks', false),
  odd('10,000 empty segments', () => sound.replace('<trkseg>', `${'<trkseg/>'.repeat(10_000)}<trkseg>`), null, true),
  odd('10,000 empty tracks', () => sound.replace('<trk>', `${'<trk/>'.repeat(10_000)}<trk>`), 'track-empty', true),
  odd(
    '2,000 tracks of one point',
    () => sound.replace('<trk>', `${`<trk><trkseg>${pointText(drive(1)[0])}</trkseg></trk>`.repeat(2000)}<trk>`),
    'track-too-short',
    true,
  ),
  odd(
    'names that would be a program',
    () =>
      sound
        .replace('<trkseg>', '<name>&lt;script&gt;alert(1)&lt;/script&gt;</name><trkseg>')
        .replace('creator="test"', 'creator="&lt;script&gt;alert(1)&lt;/script&gt;"'),
    null,
    true,
  ),
  odd(
    'names that would command a terminal',
    () => sound.replace('creator="test"', 'creator="\u009b2J\u202e evil"'),
    null,
    true,
  ),
]
