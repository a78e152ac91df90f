import type { Problem } from '../../base/problem.ts'
import type { RunRow } from '../../read/types.ts'
import type { MappedFile } from './map-file.ts'

/**
 * Photos that runs.csv names, by a path within the folder or by the file's name alone, and that are not there; pictures
 * that it does not name.
 */
export function photoProblems(rows: RunRow[], runsFile: string, files: MappedFile[]): Problem[] {
  const pictures = files.filter(({ kind }) => kind === 'picture').map(({ path }) => path)
  const wanted = rows.flatMap(({ photo, line }) =>
    photo === null || /^https?:/i.test(photo) ? [] : [{ photo, line, path: pathOf(photo, pictures) }],
  )
  const missing = wanted.filter(({ path }) => path === null)
  const unnamed = pictures.filter((picture) => wanted.every(({ path }) => path !== picture))
  return [
    ...missing.map(
      ({ photo, line }): Problem => ({
        code: 'photo-not-found',
        severity: 'note',
        file: runsFile,
        line,
        message: `the folder holds no picture called "${photo}"`,
        hint: 'Pictures are JPEG, PNG, GIF, WebP, HEIF or AVIF files; none of them enters a figure.',
      }),
    ),
    ...unnamed.map(
      (file): Problem => ({
        code: 'unrecognised',
        severity: 'note',
        file,
        message: 'this is a picture, and no row of runs.csv names it as its photo',
        hint: 'Nothing to do, unless it was meant to be a track or a table.',
      }),
    ),
  ]
}

function pathOf(photo: string, pictures: string[]): string | null {
  const wanted = photo.replaceAll('\\', '/').replace(/^\.\//, '').toLowerCase()
  const names = (path: string): string[] => [path, path.slice(path.lastIndexOf('/') + 1)].map((p) => p.toLowerCase())
  return pictures.find((path) => names(path).includes(wanted)) ?? null
}
