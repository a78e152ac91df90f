import type { Problem } from '../../base/problem.ts'
import { readCampaign } from '../../read/campaign/campaign.ts'
import type { Campaign } from '../../read/campaign/settings.ts'
import { isTrackKind } from '../../read/tracks/read.ts'
import { firstCampaignFile } from './first-of-kind.ts'
import type { MappedFile } from './map-file.ts'
import { fileOfPart } from './map-parts.ts'
import { tracksByName } from './names.ts'

/** In `exchanged_positions`: every recording of the folder. */
export const EVERY_TRACK = 'all'

/**
 * The files of a folder with latitude and longitude exchanged in those that `exchanged_positions` of campaign.yaml names.
 * A file is mapped without the others, so these are mapped once more.
 * @param again maps a file with its positions exchanged; null where it is not at hand
 */
export async function withExchanged<F extends MappedFile>(
  files: readonly F[],
  again: (path: string) => Promise<F[] | null>,
): Promise<F[]> {
  const { file: settings } = firstCampaignFile([...files])
  const campaign = settings?.text == null ? null : readCampaign(settings.text).value
  if (campaign === null || campaign.exchangedPositions.names.length === 0) return [...files]
  const wanted = new Set(namedFiles(files, campaign).flatMap(({ found }) => found))
  const paths = new Set(
    files.filter((file) => wanted.has(file) && !file.isExchanged).map(({ path }) => fileOfPart(path)),
  )
  const exchanged = new Map<string, F[]>()
  for (const path of paths) {
    const parts = await again(path)
    if (parts !== null) exchanged.set(path, parts)
  }
  return files.map((file) => {
    const other = exchanged.get(fileOfPart(file.path))?.find(({ path }) => path === file.path)
    return wanted.has(file) && other ? { ...other, problems: [...other.problems, EXCHANGED] } : file
  })
}

const EXCHANGED: Problem = {
  code: 'positions-exchanged',
  severity: 'note',
  message: 'latitude and longitude are exchanged here, by exchanged_positions of campaign.yaml',
}

function namedFiles<F extends MappedFile>(files: readonly F[], campaign: Campaign): { name: string; found: F[] }[] {
  const tracks = files.filter(({ kind }) => isTrackKind(kind)).map((file) => ({ track: file.path, file }))
  const find = tracksByName(tracks)
  return campaign.exchangedPositions.names.map((name) => ({
    name,
    found: (name === EVERY_TRACK ? tracks : find(name)).map(({ file }) => file),
  }))
}

/** Names of `exchanged_positions` that mean no recording, or one whose file was not at hand. */
export function exchangedProblems(
  files: readonly MappedFile[],
  campaign: Campaign,
  campaignFile: string | null,
): Problem[] {
  const place = {
    severity: 'error' as const,
    line: campaign.exchangedPositions.line ?? undefined,
    file: campaignFile ?? undefined,
  }
  return namedFiles(files, campaign).flatMap(({ name, found }): Problem[] => {
    if (found.length === 0) {
      const message = `exchanged_positions: "${name}" names no recording of the folder`
      const hint = 'Write the name of a file with a recording as it stands in the folder, or "all".'
      return [{ code: 'exchanged-track-unknown', message, hint, ...place }]
    }
    const left = found.filter(({ isExchanged }) => !isExchanged)
    if (left.length === 0) return []
    const message = `exchanged_positions: the positions of ${left[0].path} were not exchanged, because its file is not at hand`
    return [{ code: 'exchanged-not-read', message, hint: 'Name the folder with --root.', ...place }]
  })
}

const MARK = ' exchanged'

/** The name of a recording whose positions are exchanged. */
export const onExchangedPositions = (source: string, isExchanged: boolean | undefined): string =>
  isExchanged === true ? `${source}${MARK}` : source

export const isOfExchanged = (source: string): boolean => source.includes(MARK)
