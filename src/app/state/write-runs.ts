import { openTable, type TableChange, withChanges } from '../edit/table-text.ts'
import { freePath } from '../workspace/workspace.ts'
import type { App } from './app.ts'
import { editedFile } from './tables.ts'

/** What a table of drives begins with where there is none yet. */
export const FIRST_COLUMNS = ['track', 'setup', 'fuel_l', 'odometer_km', 'fill_group', 'note']

/** Changes the table of drives, as one step; one is made where there is none. */
export function writeRuns(app: App, changes: readonly TableChange[], done: string): void {
  const state = app.state()
  const file = editedFile(state, 'runs')
  if (changes.length === 0 || (file !== null && file.text === null)) return
  const table = openTable(file?.text ?? `${FIRST_COLUMNS.join(',')}\n`)
  if (table === null) app.tell(`${file?.path ?? 'runs.csv'} is no table that can be changed here.`)
  else
    app.write({ [file?.path ?? freePath(state.history.now.workspace, 'runs.csv')]: withChanges(table, changes) }, done)
}
