const normalised = (name: string): string => name.replaceAll('\\', '/').replace(/^\.\//, '').toLowerCase()

/** A name without what people leave out or write otherwise: blanks, hyphens, the ending. */
const squashed = (name: string): string => withoutEnding(name).replace(/[\s_-]+/g, '')

const withoutEnding = (name: string): string => name.replace(/\.[a-z]{2,4}(\.gz)?(?=$|#)/, '')

/** A file's name without its folder and ending. */
export const bareName = (name: string): string => withoutEnding(normalised(name).replace(/^.*\//, ''))

/**
 * The tracks that a name may mean: that of the path as it is written, or else in any case, or else by its file name, or else
 * whatever blanks, hyphens and ending are written.
 */
export function namedBy<T extends { track: string }>(name: string, among: readonly T[]): T[] {
  const wanted = normalised(name)
  const ways: ((track: string) => boolean)[] = [
    (track) => track === name,
    (track) => normalised(track) === wanted,
    (track) => namesOf(track).includes(wanted),
    (track) => squashed(wanted) !== '' && namesOf(track).some((own) => squashed(own) === squashed(wanted)),
  ]
  const matches = ways.map((way) => among.filter(({ track }) => way(track)))
  return matches.find((found) => found.length > 0) ?? []
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
