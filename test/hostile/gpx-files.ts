import { type BadInput, bytes, changed, drive, gpx, gzipped, HEAD, joined, latin1, noise, utf8, utf16 } from './make.ts'

const sound = gpx(drive())
const path = 'bad.gpx'

/** Cut right behind the nth occurrence of a text, counted from 1. */
function cutAfter(mark: string, nth = 1, text = sound): string {
  let at = -1
  for (let i = 0; i < nth; i++) at = text.indexOf(mark, at + 1)
  return text.slice(0, at + mark.length)
}

const cut = (what: string, make: BadInput['make'], code = 'xml-not-well-formed', run = false): BadInput => ({
  what: `cut off ${what}`,
  path,
  make,
  code,
  run,
})

/** A file that ends too early, at every kind of place. */
export const truncated: BadInput[] = [
  cut('before the first byte', () => '', 'empty-file'),
  cut('behind the byte order mark', () => bytes(0xef, 0xbb, 0xbf), 'unrecognised'),
  cut('within the byte order mark', () => bytes(0xef, 0xbb), 'unrecognised'),
  cut('after blanks', () => ' \n\t\r\n ', 'unrecognised'),
  cut('within the XML declaration', () => '<?xml version="1.', 'unrecognised'),
  cut('behind the XML declaration', () => '<?xml version="1.0"?>', 'unrecognised'),
  cut("within the root's name", () => '<gp', 'unrecognised'),
  cut("within the root's attributes", () => '<gpx version="1.1" crea'),
  cut("behind the root's start", () => HEAD),
  cut('behind <trk>', () => cutAfter('<trk>')),
  cut('behind <trkseg>', () => cutAfter('<trkseg>')),
  cut('within the first <trkpt', () => cutAfter('<trkpt la')),
  cut('within the first latitude', () => cutAfter('lat="5')),
  cut('within the 60th latitude', () => cutAfter('lat="5', 100), 'xml-not-well-formed', true),
  cut('behind an equals sign', () => cutAfter('lon=', 100), 'xml-not-well-formed', true),
  cut('within an elevation', () => cutAfter('<ele>3', 100), 'xml-not-well-formed', true),
  cut('within a time', () => cutAfter('<time>2024-05', 100), 'xml-not-well-formed', true),
  cut('within an end tag', () => cutAfter('</trk', 200), 'xml-not-well-formed', true),
  cut('behind a point', () => cutAfter('</trkpt>', 100), 'xml-not-well-formed', true),
  cut('behind the segment', () => cutAfter('</trkseg>'), 'xml-not-well-formed', true),
  cut('behind the track', () => cutAfter('</trk>'), 'xml-not-well-formed', true),
  cut('within the last tag', () => sound.slice(0, -1), 'xml-not-well-formed', true),
  cut('within a comment', () => `${cutAfter('</trkpt>', 100)}<!-- and so`, 'xml-not-well-formed', true),
  cut('within CDATA', () => `${cutAfter('<time>', 100)}<![CDATA[2024`, 'xml-not-well-formed', true),
  cut('within an entity', () => `${cutAfter('<ele>', 100)}&am`, 'xml-not-well-formed', true),
  cut('within a processing instruction', () => `${cutAfter('</trkpt>', 100)}<?stop`, 'xml-not-well-formed', true),
  cut(
    'within a character of three bytes',
    () => joined(utf8(cutAfter('</trkpt>', 100)), bytes(0xe2, 0x82)),
    'encoding-guessed',
    true,
  ),
  cut('within the gzip header', () => gzipped(sound).slice(0, 5), 'gzip-cut-off'),
  cut('within the gzip data', () => gzipped(sound).slice(0, 900), 'gzip-cut-off', true),
  cut("within the gzip's check sum", () => gzipped(sound).slice(0, -6), 'gzip-cut-off', true),
  cut('within a UTF-16 character', () => utf16(sound, false).slice(0, -1), 'text-damaged', true),
]

const odd = (what: string, make: BadInput['make'], code: string | null, run?: boolean): BadInput => ({
  what,
  path,
  make,
  code,
  run,
})
const named = sound.replace('<trkseg>', '<name>Stra\u00dfe</name><trkseg>')

/** Texts in other encodings than they say, and things that are no text at all. */
export const encodings: BadInput[] = [
  odd('UTF-16, little end first, unmarked', () => utf16(sound, false), null, true),
  odd('UTF-16, big end first, unmarked', () => utf16(sound, true), null, true),
  odd('UTF-16 that says UTF-8', () => utf16(`<?xml version="1.0" encoding="utf-8"?>${sound}`, false), null, true),
  odd('UTF-8 that says UTF-16', () => `<?xml version="1.0" encoding="utf-16"?>${sound}`, null, true),
  odd('two byte order marks', () => `\ufeff\ufeff${sound}`, null, true),
  odd('Latin-1 that says nothing', () => latin1(named), 'encoding-guessed', true),
  odd(
    'Latin-1 that says UTF-8',
    () => latin1(`<?xml version="1.0" encoding="utf-8"?>${named}`),
    'encoding-guessed',
    true,
  ),
  odd('an encoding nobody knows', () => `<?xml version="1.0" encoding="x-marvin"?>${sound}`, 'encoding-unknown', true),
  odd(
    'UTF-32',
    () => {
      const wide = new Uint8Array(4 * (sound.length + 1))
      wide.set([0xff, 0xfe, 0, 0])
      for (let i = 0; i < sound.length; i++) wide[4 * i + 4] = sound.charCodeAt(i)
      return wide
    },
    'unrecognised',
    false,
  ),
  odd('overlong UTF-8', () => joined(utf8(sound.slice(0, -6)), bytes(0xc0, 0xaf), utf8('</gpx>')), 'encoding-guessed'),
  odd(
    'half a surrogate pair in UTF-8',
    () => joined(utf8(named.slice(0, -6)), bytes(0xed, 0xa0, 0x80), utf8('</gpx>')),
    'text-damaged',
  ),
  odd(
    'a NUL byte within a point',
    () => changed((text) => text.replace('<ele>3', '<ele>\x003')),
    'xml-fault-passed-over',
  ),
  odd(
    'a million NUL bytes between two points',
    () => changed((text) => text.replace('</trkpt>', `</trkpt>${'\0'.repeat(1e6)}`)),
    'xml-fault-passed-over',
    true,
  ),
  odd(
    'a million control characters behind the last point',
    () => `${cutAfter('</trkpt>', 100)}${'\x01'.repeat(1e6)}`,
    'xml-fault-passed-over',
    true,
  ),
  odd(
    'a million NUL bytes behind the last point, packed',
    () => gzipped(`${cutAfter('</trkpt>', 100)}${'\0'.repeat(1e6)}`),
    'xml-fault-passed-over',
    true,
  ),
  odd('NUL bytes at the end', () => `${sound}${'\0'.repeat(4096)}`, 'xml-not-well-formed', true),
  odd('nothing but NUL bytes', () => new Uint8Array(4096), 'unrecognised', false),
  odd('nothing but ones', () => new Uint8Array(4096).fill(255), 'unrecognised', false),
  odd('a byte order mark of UTF-16 and noise', () => joined(bytes(0xff, 0xfe), noise(999)), 'text-damaged', false),
  odd('noise', () => noise(5000), 'unrecognised', false),
  odd('gzip of gzip', () => gzipped(gzipped(sound)), 'unrecognised', false),
  // Unpacking what is left of it threw.
  odd(
    'gzip of 300 MB of nothing, cut off',
    () => gzipped(new Uint8Array(300 * 2 ** 20)).slice(0, -9),
    'file-too-large',
    false,
  ),
  odd('gzip of nothing', () => gzipped(''), 'empty-file', false),
  odd(
    'gzip with a wrong check sum',
    () => gzipped(sound).map((byte, i, all) => (i === all.length - 6 ? byte ^ 255 : byte)),
    'gzip-damaged',
  ),
  odd('gzip with bytes behind it', () => joined(gzipped(sound), noise(64)), 'gzip-rest-unread', true),
  odd('gzip with a damaged middle', () => gzipped(sound).fill(170, 200, 300), 'gzip-damaged', false),
  odd('a ZIP archive', () => joined(bytes(0x50, 0x4b, 3, 4), noise(200)), 'zip-archive', false),
  odd('a ZIP archive in gzip', () => gzipped(joined(bytes(0x50, 0x4b, 3, 4), noise(200))), 'zip-archive', false),
  odd('a program', () => joined(latin1('\x7fELF\x02\x01\x01'), noise(600)), 'unrecognised', false),
  odd('a PNG picture', () => joined(latin1('\x89PNG\r\n\x1a\n'), noise(600)), 'photo-unmatched', false),
  odd('a PDF', () => joined(latin1('%PDF-1.7\n%\xe2\xe3\xcf\xd3\n'), noise(600)), 'unrecognised', false),
]
