/**
 * Whether a name is one that browsers, synchronisers and editors give a file until it is whole: common endings, "~" at the
 * end, "~$" before it.
 */
export const isUnfinished = (name: string): boolean =>
  /\.(part|partial|filepart|crdownload|download|opdownload|tmp|temp|swp|!sync|icloud)$|~$/i.test(name) ||
  name.startsWith('~$')

/** What is told of such a file in place of reading it. */
export const UNFINISHED = {
  code: 'file-unfinished',
  severity: 'note' as const,
  message: 'by its name this is a copy that has not ended yet; it is read once it has its own name',
}

/** What is told of a file that lies in a report's folder and is not the report's. */
export function besideReport(others: readonly string[]) {
  return {
    code: 'beside-report',
    severity: others.some(isLikeInput) ? ('warning' as const) : ('note' as const),
    message: `${others.length === 1 ? `${others[0]} lies` : `${others[0]} and ${others.length - 1} more lie`} in a report’s folder, and nothing is read from there`,
    hint: 'Move tracks, weather and settings out of the report’s folder; anything else may stay there.',
  }
}

/** Whether somebody may have meant a file to be read: a guess by its name, which decides only how loudly it is told. */
const isLikeInput = (name: string): boolean =>
  /\.(gpx|kml|fit|tcx|nmea|csv|tsv|xlsx|ods|ya?ml|hgt|tiff?)(\.gz)?$/i.test(name)

/** What is told of a file that is too large to be read at once. */
export const tooLargeToRead = (bytes: number, most: number) => ({
  code: 'file-too-large',
  message: `found ${Math.round(bytes / 2 ** 20)} MB, expected at most ${most / 2 ** 20} MB; the file was not read`,
})
