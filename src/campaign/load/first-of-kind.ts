import type { Problem } from '../../base/problem.ts'
import type { MappedFile } from './map-file.ts'

export const inFile = (file: MappedFile, problems: readonly Problem[]): Problem[] =>
  problems.map((problem) => ({ ...problem, file: file.path }))

/** The first file of a kind by its path; of each other one a problem says that it is not used. */
export function firstOfKind(
  files: MappedFile[],
  kind: 'campaign' | 'runs-table' | 'fills-table',
): { file: MappedFile | null; problems: Problem[] } {
  const [file = null, ...others] = files.filter((f) => f.kind === kind)
  const message = `not used: ${file?.path} is of the same kind and comes first`
  return {
    file,
    problems: others.flatMap((other) => inFile(other, [{ code: 'second-settings-file', severity: 'error', message }])),
  }
}
