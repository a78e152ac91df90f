import { type TableChange, withChanges } from '../edit/table-text.ts'
import type { App } from './app.ts'
import { drivesTable } from './tables.ts'

/** Changes the table of drives, as one step; one is begun where there is none. */
export function writeRuns(app: App, changes: readonly TableChange[], done: string): void {
  const { path, table } = drivesTable(app.state())
  if (changes.length === 0) return
  if (table === null) app.tell(`${path} is no table that can be changed here.`)
  else app.write({ [path]: withChanges(table, changes) }, done)
}
