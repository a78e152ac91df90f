/**
 * Names that Windows gives to devices, with any ending too; files are called after drives.
 * @source Microsoft, "Naming Files, Paths, and Namespaces"
 */
const DEVICE = /^(?:con|prn|aux|nul|com\d|lpt\d)$/

/** Stable names from file names: lower case letters, digits and '-'; made unique by the folder, then by a number. */
export function slugsOf(tracks: string[]): string[] {
  const slug = (text: string): string =>
    text
      .normalize('NFKD')
      .replace(/[\u0300-\u036f]/g, '')
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, '-')
      .replace(/^-+|-+$/g, '')
      .replace(DEVICE, 'run-$&') || 'run'
  const withoutExtension = (path: string): string =>
    path.replace(
      /(\.(?:gpx|kml|xml|nmea|fit|tcx|geojson|json|csv|tsv|log|txt))?(\.gz)?(#\d+)?(@[\dT.]+)?$/i,
      (_, _e, _z, n, at) => `${n ?? ''}${at ?? ''}`,
    )
  const short = tracks.map((t) => slug(withoutExtension(t.slice(t.lastIndexOf('/') + 1))))
  const long = tracks.map((t) => slug(withoutExtension(t)))
  const chosen = tracks.map((_, i) => (short.indexOf(short[i]) === short.lastIndexOf(short[i]) ? short[i] : long[i]))
  const taken = new Set<string>()
  return chosen.map((base) => {
    let name = base
    for (let n = 2; taken.has(name); n++) name = `${base}-${n}`
    taken.add(name)
    return name
  })
}
