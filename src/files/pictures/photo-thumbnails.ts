import type { Problem } from '../../base/problem.ts'
import { readPicture } from '../../read/picture/picture.ts'
import type { Report } from '../../report/contract.ts'
import type { Thumbnails } from '../../report/page/drives/photos.ts'
import { type ListedFile, readListed } from '../folder.ts'
import { type Renderer, thumbnailOf } from './thumbnail.ts'

/** A page with more than this cannot be sent by mail, bytes. */
const MOST_BYTES = 15e6

/** Small copies of a report's photos. */
export interface PhotoThumbnails {
  /** As addresses that hold the picture themselves, by the photo's path. */
  thumbnails: Thumbnails
  problems: Problem[]
}

/**
 * Small copies of those photos of a report that belong to a drive or a fill, one after another, since a decoded picture is
 * large. Photos taken within private places are not read, and none are while campaign.yaml has errors.
 */
export async function photoThumbnails(
  { photos, inputs, problems: known }: Pick<Report, 'photos' | 'inputs' | 'problems'>,
  listed: readonly ListedFile[],
): Promise<PhotoThumbnails> {
  const thumbnails = new Map<string, string>()
  const problems: Problem[] = []
  const wanted = photos.filter((photo) => !photo.private && (photo.run !== null || photo.fill !== null))
  if (wanted.length === 0) return { thumbnails, problems }
  const settings = inputs.find(({ kind }) => kind === 'campaign')?.path
  if (known.some(({ path, severity }) => path === settings && settings !== undefined && severity === 'error'))
    return { thumbnails, problems: [{ ...SETTINGS_WRONG, file: settings }] }
  const renderer: Renderer | null = await import('@resvg/resvg-js').catch(() => null)
  if (renderer === null) return { thumbnails, problems: [NO_RENDERER] }
  let bytes = 0
  for (const [i, { path, sha256 }] of wanted.entries()) {
    if (bytes > MOST_BYTES) {
      problems.push(tooMany(wanted.length - i, wanted.length))
      break
    }
    const file = listed.find((one) => one.path === path)
    const made = file ? await thumbnailOfFile(file, sha256, renderer) : IN_ARCHIVE
    if (made.png === null) {
      problems.push(notShown(path, made))
      continue
    }
    bytes += made.png.length
    thumbnails.set(path, `data:image/png;base64,${Buffer.from(made.png).toString('base64')}`)
  }
  return { thumbnails, problems }
}

type Made = Awaited<ReturnType<typeof thumbnailOf>>

const IN_ARCHIVE: Made = { png: null, reason: 'lies in an archive', hint: 'Unpack it into the folder.' }

async function thumbnailOfFile(file: ListedFile, sha256: string, renderer: Renderer): Promise<Made> {
  const { value: input } = await readListed(file)
  if (input === null) return { png: null, reason: 'can no longer be read', hint: 'Make the report again.' }
  if (input.sha256 !== sha256)
    return { png: null, reason: 'was changed while the report was made', hint: 'Make the report again.' }
  return thumbnailOf(input.bytes, readPicture(input.bytes), renderer)
}

const notShown = (file: string, { reason, hint }: { reason: string | null; hint?: string }): Problem => ({
  code: 'photo-not-shown',
  severity: 'warning',
  file,
  message: `this photo is not shown: it ${reason}`,
  ...(hint === undefined ? {} : { hint }),
})

const tooMany = (left: number, of: number): Problem => ({
  code: 'photo-not-shown',
  severity: 'warning',
  message: `the last ${left} of ${of} photos are not shown: the page would be larger than ${MOST_BYTES / 1e6} MB`,
  hint: 'Leave in the folder only the photos that are wanted in the report.',
})

/** A private place with a slip in it is none: what it was to hide must not come to light. */
const SETTINGS_WRONG: Problem = {
  code: 'photo-not-shown',
  severity: 'warning',
  message: 'no photo is shown: this file has errors, so that a private place in it may not be known',
  hint: 'Correct it, and make the report again.',
}

const NO_RENDERER: Problem = {
  code: 'photo-not-shown',
  severity: 'warning',
  message: 'no photo is shown: the program that draws them small is not installed here',
}
