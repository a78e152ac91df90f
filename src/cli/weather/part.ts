import type { Problem } from '../../base/problem.ts'
import type { FetchedFolder } from '../../fetch/fetched-folder.ts'
import type { Fetched, Gathering } from '../../fetch/gather.ts'

/** What a call fetches into one folder: told first, then done. */
export interface Part {
  folder: FetchedFolder
  /** What would be asked of whom, in lines. */
  told: string[]
  addresses: string[]
  /** About how many requests and bytes; 0 where nothing is to be done. */
  requests: number
  bytes: number
  run: (gathering: Gathering) => Promise<Fetched[]>
  /** What the answers do not hold of what was wanted. */
  gaps: (done: readonly Fetched[]) => Promise<Problem[]>
}
