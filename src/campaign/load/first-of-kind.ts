import type { Problem } from '../../base/problem.ts'
import type { MappedFile } from './map-file.ts'

/** Problems with their file, where they do not name another one. */
export const inFile = (file: Pick<MappedFile, 'path'>, problems: readonly Problem[]): Problem[] =>
  problems.map((problem) => ({ ...problem, file: problem.file ?? file.path }))

/** The first campaign.yaml by its path; of each other one a problem says that it is not used. */
export function firstCampaignFile(files: MappedFile[]): { file: MappedFile | null; problems: Problem[] } {
  const [file = null, ...others] = files.filter(({ kind }) => kind === 'campaign')
  const message = `not used: ${file?.path} is of the same kind and comes first`
  return {
    file,
    problems: others.flatMap((other) => inFile(other, [{ code: 'second-settings-file', severity: 'error', message }])),
  }
}
