import { knownText } from '../edit/file-text.ts'
import { openTable, type TableText } from '../edit/table-text.ts'
import { fileAt, freePath } from '../workspace/workspace.ts'
import type { AppState } from './app.ts'

/** One of the two texts that the page edits, or why it cannot. */
export interface EditedFile {
  path: string
  /** null where it is none that can be edited here: a workbook, a packed file. */
  text: string | null
}

/** The table of drives, or the settings, that are in use; null where there is none yet. */
export function editedFile(state: AppState, kind: 'runs' | 'campaign'): EditedFile | null {
  const inputs = state.recognised?.inputs ?? []
  const { workspace } = state.history.now
  const input = inputs.find((own) => own.kind === kind && fileAt(workspace, own.path.split('#')[0]) !== null)
  const usual = kind === 'runs' ? 'runs.csv' : 'campaign.yaml'
  // A file that was just begun here is not among those that were recognised.
  const begun = inputs.some(({ path }) => path === usual) ? null : fileAt(workspace, usual)
  const file = input ? fileAt(workspace, input.path.split('#')[0]) : begun
  if (file === null) return null
  const isPart = input !== undefined && input.path !== file.path
  return { path: input?.path ?? file.path, text: isPart ? null : (knownText(file.content) ?? null) }
}

/** The table of drives that is in use, or the one that a first edit begins. */
export interface DrivesTable {
  path: string
  /** null where it is none that can be changed here. */
  table: TableText | null
  /** It is among the files. */
  isThere: boolean
}

/** The table of drives; where there is none yet, the one that `ceteris init` would write. */
export function drivesTable(state: AppState): DrivesTable {
  const file = editedFile(state, 'runs')
  if (file === null) {
    const path = freePath(state.history.now.workspace, 'runs.csv')
    return { path, table: tableIn(state.recognised?.firstRuns ?? ''), isThere: false }
  }
  return { path: file.path, table: file.text === null ? null : tableIn(file.text), isThere: true }
}

let opened: { text: string; table: TableText | null } | null = null

/** The table in a text; the last one is kept. */
function tableIn(text: string): TableText | null {
  if (opened?.text !== text) opened = { text, table: openTable(text) }
  return opened.table
}

/** Whether what was recognised is of the files as they stand now. */
export const isRecognised = ({ recognisedOf, history }: AppState): boolean => recognisedOf === history.now.workspace
