import type { Problem } from '../../base/problem.ts'
import type { RowPlace } from '../../read/runs/rows.ts'
import type { MappedFile } from './map-file.ts'

/** A row of a table that may name a photo. */
interface PhotoRow extends RowPlace {
  photo: string | null
}

/** Photos that a table names, by a path within the folder or by the file's name alone, and that are not there. */
export function missingPhotos(rows: readonly PhotoRow[], table: string, files: readonly MappedFile[]): Problem[] {
  const pictures = picturesOf(files)
  return rows.flatMap(({ photo, line, file }): Problem[] =>
    photo === null || /^https?:/i.test(photo) || photoPath(photo, pictures) !== null
      ? []
      : [
          {
            code: 'photo-not-found',
            severity: 'note',
            file: file ?? table,
            line,
            message: `the folder holds no picture called "${photo}"`,
            hint: 'Pictures are JPEG, PNG, GIF, WebP, HEIF or AVIF files; none of them enters a figure.',
          },
        ],
  )
}

/** The paths of all pictures. */
export const picturesOf = (files: readonly MappedFile[]): string[] =>
  files.filter(({ kind }) => kind === 'picture').map(({ path }) => path)

/** The picture that a table names; null where the folder does not hold it. */
export function photoPath(photo: string, pictures: readonly string[]): string | null {
  const wanted = photo.replaceAll('\\', '/').replace(/^\.\//, '').toLowerCase()
  const names = (path: string): string[] => [path, path.slice(path.lastIndexOf('/') + 1)].map((p) => p.toLowerCase())
  return pictures.find((path) => names(path).includes(wanted)) ?? null
}
