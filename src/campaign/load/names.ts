const normalised = (name: string): string => name.replaceAll('\\', '/').replace(/^\.\//, '').toLowerCase()

/** A name without what people leave out or write otherwise: blanks, hyphens, the ending. */
const squashed = (name: string): string => withoutEnding(name).replace(/[\s_-]+/g, '')

const withoutEnding = (name: string): string => name.replace(/\.[a-z]{2,4}(\.gz)?(?=$|#)/, '')

/** A file's name without its folder and ending. */
export const bareName = (name: string): string => withoutEnding(normalised(name).replace(/^.*\//, ''))

/** The tracks that a name may mean, as `tracksByName` says; for one name alone. */
export const namedBy = <T extends { track: string }>(name: string, among: readonly T[]): T[] =>
  tracksByName(among)(name)

/**
 * Finds the tracks that a name may mean: that of the path as it is written, or else in any case, or else by its file
 * name, or else whatever blanks, hyphens and ending are written. Each track is looked at once, for any number of names.
 */
export function tracksByName<T extends { track: string }>(among: readonly T[]): (name: string) => T[] {
  const [exact, full, names, loose] = [0, 1, 2, 3].map(() => new Map<string, T[]>())
  for (const one of among) {
    const own = namesOf(one.track)
    add(exact, one.track, one)
    add(full, normalised(one.track), one)
    for (const name of new Set(own)) add(names, name, one)
    for (const name of new Set(own.map(squashed))) add(loose, name, one)
  }
  return (name) => {
    const wanted = normalised(name)
    const bare = squashed(wanted)
    return exact.get(name) ?? full.get(wanted) ?? names.get(wanted) ?? (bare === '' ? undefined : loose.get(bare)) ?? []
  }
}

function add<T>(found: Map<string, T[]>, name: string, one: T): void {
  const alike = found.get(name)
  if (alike) alike.push(one)
  else found.set(name, [one])
}

/** The names by which a row may call a track: path or file name, with or without its extension; of a file in an archive its own. */
function namesOf(track: string): string[] {
  const full = normalised(track)
  const [path, number = ''] = full.split(/(?=#\d+$)/)
  const member = path.replace(/^.*\.(?:zip|kmz)#/, '')
  const file = member.slice(member.lastIndexOf('/') + 1)
  const bare = (p: string): string => p.replace(/\.[a-z]+(\.gz)?$/, '')
  return [path, member, file, bare(path), bare(member), bare(file)].map((p) => p + number)
}
