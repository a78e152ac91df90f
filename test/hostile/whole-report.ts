import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { basename, join } from 'node:path'

const FILES = ['claims.csv', 'index.html', 'pairs.csv', 'parts.csv', 'report.json', 'report.md', 'runs.csv']

/**
 * Where the report of a folder is after a kill: in its place, or, between the two renames of a replacement, under the
 * hidden name from which the next call brings it back.
 */
export function reportAfterKill(folder: string): string {
  const place = join(folder, 'report')
  if (existsSync(place)) return place
  const hidden = readdirSync(folder)
    .filter((name) => name.startsWith('.ceteris-writing-'))
    .flatMap((name) => readdirSync(join(folder, name)).map((inner) => join(folder, name, inner)))
  return hidden.find((path) => basename(path).startsWith('old-')) ?? place
}

/** Whether a report folder holds every file, each to its end. */
export function isWhole(report: string): boolean {
  const text = (name: string): string =>
    existsSync(join(report, name)) ? readFileSync(join(report, name), 'utf8') : ''
  const json = text('report.json')
  if (!json.endsWith('}\n')) return false
  const { schema } = JSON.parse(json) as { schema: string }
  return (
    schema === 'ceteris-report/2' &&
    FILES.every((name) => existsSync(join(report, name))) &&
    text('index.html').trimEnd().endsWith('</html>') &&
    text('runs.csv').endsWith('\n')
  )
}
