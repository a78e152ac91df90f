import { readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { z } from 'zod'
import { reportSchema } from '../../src/report/contract.ts'

interface Node {
  $ref?: string
  type?: string | string[]
  items?: Node
  properties?: Record<string, Node>
  anyOf?: Node[]
  oneOf?: Node[]
}

/** Every key of the contract as a path, `[]` for "each of". */
function keysOf(node: Node, path: string, found: Set<string>): Set<string> {
  for (const other of [...(node.anyOf ?? []), ...(node.oneOf ?? [])]) keysOf(other, path, found)
  if (node.items) keysOf(node.items, `${path}[]`, found)
  for (const [key, value] of Object.entries(node.properties ?? {})) {
    const at = path === '' ? key : `${path}.${key}`
    found.add(at)
    keysOf(value, at, found)
  }
  return found
}

/** Members of the small records that the page explains once. */
const IN_EVERY_INTERVAL = /\.(mean|low90|high90|estimate|low95|high95)$/

const docs = (name: string): string => readFileSync(new URL(`../../docs/${name}`, import.meta.url), 'utf8')
const quoted = (row: string): string[] => [...row.matchAll(/`([^`]+)`/g)].map(([, name]) => name)

/** The keys in the first column of each table, below the key that heads its section. */
function keysInPage(text: string): string[] {
  return text.split(/^## /m).flatMap((section) => {
    const [head, ...lines] = section.split('\n')
    const above = /^`(.+)`$/.exec(head)?.[1]
    const rows = lines.filter((line) => line.startsWith('| `')).map((line) => line.split(' | ')[0])
    return rows.flatMap(quoted).map((name) => (above ? `${above}.${name}` : name))
  })
}

/** Those that stand in the table of the columns of runs.csv. */
const keysInFiles = (text: string): string[] => [...text.matchAll(/\| `(runs\[\][^`]*)` \|/g)].map(([, name]) => name)

it('every key of report.json is documented, and no other', () => {
  const schema = z.toJSONSchema(reportSchema, { reused: 'inline' }) as Node
  const keys = [...keysOf(schema, '', new Set())].filter((key) => !IN_EVERY_INTERVAL.test(key))
  expect(keys.length).toBeGreaterThan(300)
  const inPage = keysInPage(docs('report-json.md'))
  const documented = new Set([...inPage, ...keysInFiles(docs('files.md'))])
  expect(keys.filter((key) => !documented.has(key)).sort()).toEqual([])
  expect(inPage.filter((key) => !keys.includes(key)).sort()).toEqual([])
})
