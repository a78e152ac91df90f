import { readdirSync, readFileSync } from 'node:fs'
import { join, relative, sep } from 'node:path'
import { describe, expect, it } from 'vitest'

const SRC = join(import.meta.dirname, '../src')
/** In the order in which the data flows: a folder may import from itself and from those before it. */
const ORDER = [
  'base',
  'read',
  'track',
  'air',
  'road',
  'demand',
  'compare',
  'claim',
  'report',
  'campaign',
  'check',
  'plan',
  'records',
  'files',
  'store',
  'work',
  'shell',
  'watch',
  'fetch',
  'cli',
  'app',
]
/** These may touch files, the clock, the console and the process. */
const OUTSIDE = new Set(['files', 'store', 'work', 'shell', 'watch', 'fetch', 'cli', 'app'])

const withSlashes = (path: string): string => path.split(sep).join('/')

const files = readdirSync(SRC, { recursive: true, encoding: 'utf8' })
  .map(withSlashes)
  .filter((name) => /\.tsx?$/.test(name) && name.includes('/'))
  .map((name) => ({ name, folder: name.split('/')[0], text: readFileSync(join(SRC, name), 'utf8') }))

const importsOf = (text: string): string[] => [...text.matchAll(/(?:from|import)\s*\(?\s*'([^']+)'/g)].map((m) => m[1])

describe('the dependency rule', () => {
  it('knows every folder', () => {
    expect([...new Set(files.map((f) => f.folder))].filter((folder) => !ORDER.includes(folder))).toEqual([])
  })

  it('imports never point down the flow', () => {
    const wrong = files.flatMap(({ name, folder, text }) =>
      importsOf(text)
        .filter((to) => to.startsWith('.'))
        .map((to) => withSlashes(relative(SRC, join(SRC, name, '..', to))).split('/')[0])
        .filter((to) => ORDER.indexOf(to) > ORDER.indexOf(folder))
        .map((to) => `${name} imports from ${to}`),
    )
    expect(wrong).toEqual([])
  })

  it('no file imports itself by way of others', () => {
    const graph = new Map(
      files.map(({ name, text }) => [
        name,
        importsOf(text)
          .filter((to) => to.startsWith('.'))
          .map((to) => withSlashes(relative(SRC, join(SRC, name, '..', to)))),
      ]),
    )
    const reaches = (from: string, to: string, seen = new Set<string>()): boolean =>
      (graph.get(from) ?? []).some((next) => {
        if (next === to) return true
        if (seen.has(next)) return false
        seen.add(next)
        return reaches(next, to, seen)
      })
    expect(files.map(({ name }) => name).filter((name) => reaches(name, name))).toEqual([])
  })

  it('everything before files/ is pure: no file system, process, console, clock or random state', () => {
    // Digests and unpacking go through one file, of which there is a second for browsers.
    const forbidden = /from 'node:|\bBuffer\.|\bprocess\.\w|\bconsole\.\w|\bDate\.now\(|\bnew Date\(\)|\bMath\.random\(/
    const impure = files.filter(({ folder, text }) => !OUTSIDE.has(folder) && forbidden.test(text)).map((f) => f.name)
    expect(impure).toEqual(['base/platform.ts'])
  })
})

describe('connections', () => {
  it('are opened by one file alone; another offers pages to this computer', () => {
    const opens =
      /from '(undici|(node:)?(http|https|http2|net|tls|dgram|dns)(\/[a-z]+)?)'|\bfetch\(|\bnew (WebSocket|EventSource|XMLHttpRequest)\b/
    // The page of `ceteris watch` asks the server that gave it.
    const openers = files
      .filter(({ name, text }) => name !== 'watch/watch-page.ts' && opens.test(text))
      .map((f) => f.name)
    expect(openers.sort()).toEqual(['fetch/get/transport.ts', 'watch/watch-server.ts'])
    const server = files.find(({ name }) => name === 'watch/watch-server.ts')
    expect(importsOf(server?.text ?? '').filter((to) => /http|net/.test(to))).toEqual(['node:http', 'node:net'])
    expect(server?.text).not.toMatch(/\b(request|get|connect)\(/)
  })

  it('only the command for it loads the folder that can open them', () => {
    const users = files.filter(({ folder, text }) => folder !== 'fetch' && /\/fetch\//.test(importsOf(text).join('\n')))
    expect(users.map(({ name }) => name).filter((name) => !name.startsWith('cli/weather'))).toEqual([])
  })
})

describe('one arithmetic everywhere', () => {
  /** The folders whose figures must be the same in Node and in browsers. */
  const FIGURES = ['base', 'read', 'track', 'air', 'road', 'demand', 'compare', 'claim', 'campaign', 'check', 'plan']
  const code = (text: string): string => text.replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '')
  const usersOf = (forbidden: RegExp): string[] =>
    files.filter(({ folder, text }) => FIGURES.includes(folder) && forbidden.test(code(text))).map((f) => f.name)

  it('no power or function that engines may round in their own way: base/arithmetic.ts has what to use', () => {
    expect(usersOf(/\*\*|\bMath\.(pow|hypot|cbrt|log2|log10|sinh|cosh|tanh|asinh|acosh|atanh)\b/)).toEqual([])
  })

  it('no order or form that depends on language or version of Unicode; time zones alone come from the runtime', () => {
    expect(usersOf(/\blocaleCompare\b|\bIntl\b|\btoLocale/)).toEqual(['read/time-zone.ts'])
  })
})

it('no dependency runs a script when it is installed', () => {
  const lock = JSON.parse(readFileSync(join(SRC, '../package-lock.json'), 'utf8')) as {
    packages: Record<string, { hasInstallScript?: boolean }>
  }
  const names = Object.keys(lock.packages)
  expect(names.length).toBeGreaterThan(100)
  expect(names.filter((name) => lock.packages[name].hasInstallScript)).toEqual([])
})
