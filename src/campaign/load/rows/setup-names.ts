import type { Problem } from '../../../base/problem.ts'
import { placeOfRow, type RowPlace } from '../../../read/runs/rows.ts'

/**
 * Takes the names of setups that differ in capitals, blanks and hyphens alone for one: spreadsheets write a capital by themselves.
 * @param rows of tables of one kind; changed in place
 * @param known names that count as they are written: those of campaign.yaml, then those of rows before
 * @returns a note with the line of the first row of each spelling
 */
export function withOneSpelling(rows: (RowPlace & { setup: string | null })[], known: readonly string[]): Problem[] {
  const names = new Map<string, string>()
  for (const name of known) if (!names.has(plain(name))) names.set(plain(name), name)
  const exact = new Set(known)
  const told = new Map<string, Problem>()
  for (const row of rows) {
    const { setup } = row
    if (setup === null || exact.has(setup)) continue
    const name = names.get(plain(setup))
    if (name === undefined) names.set(plain(setup), setup)
    if (name === undefined || name === setup) continue
    row.setup = name
    const message = `the setup "${setup.slice(0, 80)}" is taken for "${name.slice(0, 80)}", from which only capitals, blanks or hyphens differ`
    if (!told.has(setup)) told.set(setup, { code: 'setup-spelling', severity: 'note', message, ...placeOfRow(row) })
  }
  return [...told.values()]
}

const plain = (name: string): string =>
  name
    .toLowerCase()
    .replace(/[\s_-]+/g, ' ')
    .trim()
