import { z } from 'zod'

/** The file of a report folder that lists what the program wrote there. No command prints it, so no redirection makes it. */
export const LIST_NAME = '.ceteris-report.json'

/** A file as it was written. */
export interface WrittenFile {
  sizeBytes: number
  sha256: string
}

/** By their paths in the folder, '/' between the parts; the list itself is not among them. */
export type ReportList = ReadonlyMap<string, WrittenFile>

const SCHEMA = 'ceteris-report-files/1'
const ABOUT =
  'The program ceteris wrote the files listed here, and replaces or removes these alone. Without this list it leaves the folder as it is.'

/** A path that leads nowhere but further into the folder. */
const isInner = (path: string): boolean =>
  !/[\\\0]/.test(path) && path.split('/').every((part) => part !== '' && part !== '.' && part !== '..')

const listSchema = z.object({
  schema: z.literal(SCHEMA),
  about: z.literal(ABOUT),
  files: z.array(
    z.object({
      path: z.string().refine(isInner),
      size_bytes: z.number().int().nonnegative(),
      sha256: z.string().regex(/^[0-9a-f]{64}$/),
    }),
  ),
})

/** The text of the list, the same for the same files in any order. */
export function listText(list: ReportList): string {
  const files = [...list]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([path, { sizeBytes, sha256 }]) => ({ path, size_bytes: sizeBytes, sha256 }))
  return `${JSON.stringify({ schema: SCHEMA, about: ABOUT, files } satisfies z.input<typeof listSchema>, null, 1)}\n`
}

/** What a list's text says; null where this program could not have written it. */
export function listIn(text: string): ReportList | null {
  // A folder without a list is the usual case.
  if (!text.startsWith('{')) return null
  const { success, data } = listSchema.safeParse(parsed(text))
  if (!success) return null
  return new Map(data.files.map((file) => [file.path, { sizeBytes: file.size_bytes, sha256: file.sha256 }]))
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return null
  }
}
