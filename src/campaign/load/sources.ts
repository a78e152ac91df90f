import { byCodeUnits } from '../../base/arithmetic.ts'
import { present } from '../../base/present.ts'
import type { Problem } from '../../base/problem.ts'
import { creditsOf, type FetchedEntry, readFetchedList } from '../../read/fetched-list.ts'
import type { Report } from '../../report/contract.ts'
import type { MappedFile } from './map-file.ts'
import { fileOfPart } from './map-parts.ts'

/** What the folder's lists of fetched files say of its files, by the files' digests. */
export interface Sources {
  bySha256: Map<string, FetchedEntry>
  problems: Problem[]
}

/** Reads the lists that `ceteris weather` keeps. A file is known by its digest, wherever somebody moved it. */
export function readSources(files: readonly MappedFile[]): Sources {
  const problems: Problem[] = []
  const lists = files
    .filter(({ kind }) => kind === 'fetched-list')
    .flatMap((file) => {
      const read = readFetchedList(present(file.text))
      problems.push(...read.problems.map((problem) => ({ ...problem, file: file.path })))
      return read.value ?? []
    })
  return { bySha256: creditsOf(lists), problems }
}

/** Whether a file is a forecast, which is no observation of the drives that were made meanwhile. */
export const isForecast = ({ bySha256 }: Sources, { sha256 }: MappedFile): boolean =>
  bySha256.get(sha256)?.purpose === 'forecast'

/** The report's list of sources: a line for each credit, with the files that it stands for. */
export function sourcesTold({ bySha256 }: Sources, files: readonly MappedFile[]): Report['sources'] {
  const sources = new Map<string, Report['sources'][number]>()
  for (const { path, sha256, kind } of files) {
    const entry = bySha256.get(sha256)
    if (entry === undefined || entry.purpose === 'list' || entry.purpose === 'forecast' || kind === 'fetched-list')
      continue
    const isProvisional = entry.state === 'provisional'
    const key = `${entry.credit}\n${entry.licence}\n${isProvisional}`
    const known = sources.get(key) ?? {
      credit: entry.credit,
      licence: entry.licence,
      service: entry.service_name,
      purpose: entry.purpose,
      provisional: isProvisional,
      files: [],
    }
    const file = fileOfPart(path)
    if (!known.files.includes(file)) known.files.push(file)
    sources.set(key, known)
  }
  return [...sources.entries()].sort(([a], [b]) => byCodeUnits(a, b)).map(([, source]) => source)
}
