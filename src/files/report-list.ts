import { join } from 'node:path'
import { LIST_NAME, listIn, type ReportList } from '../report/report-list.ts'
import { readPlainFile } from './plain-file.ts'

/** A million files have a list of some 150 MB. */
const MOST_BYTES = 256 * 2 ** 20

/** What the program wrote into a folder; null where the folder has no list that this program could have written. */
export const listOf = (folder: string): ReportList | null =>
  listIn(readPlainFile(join(folder, LIST_NAME), MOST_BYTES)?.toString('utf8') ?? '')
