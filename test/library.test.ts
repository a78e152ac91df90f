import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import ts from 'typescript'
import { describe, expect, it } from 'vitest'
import { reportOfFiles } from '../src/index.ts'
import { straightTrack } from './cli/command.ts'

const ROOT = join(import.meta.dirname, '..')

/** The examples in the README, and in the docstrings that the API reference shows. */
function examples(): { where: string; code: string }[] {
  const readme = readFileSync(join(ROOT, 'README.md'), 'utf8')
  const found = [...readme.matchAll(/```ts\n([\s\S]*?)```/g)].map(([, code]) => ({ where: 'README.md', code }))
  for (const name of readdirSync(join(ROOT, 'src'), { recursive: true, encoding: 'utf8' })) {
    if (!name.endsWith('.ts')) continue
    const text = readFileSync(join(ROOT, 'src', name), 'utf8')
    for (const [, block] of text.matchAll(/ \* ```ts\n([\s\S]*?) \* ```/g)) {
      found.push({ where: name, code: block.replace(/^ \* ?/gm, '') })
    }
  }
  return found
}

/** What the compiler has against each example, written by a stranger who has nothing but the package. */
function faultsOf(codes: readonly string[]): string[][] {
  const paths = codes.map((_, i) => join(ROOT, `test/example-${i}.ts`))
  const options: ts.CompilerOptions = {
    module: ts.ModuleKind.NodeNext,
    target: ts.ScriptTarget.ES2023,
    strict: true,
    noEmit: true,
    allowImportingTsExtensions: true,
    types: ['node'],
    paths: { ceteris: [join(ROOT, 'src/index.ts')] },
  }
  const host = ts.createCompilerHost(options)
  const { fileExists, getSourceFile } = host
  host.fileExists = (name) => paths.includes(name) || fileExists.call(host, name)
  host.getSourceFile = (name, ...rest) =>
    paths.includes(name)
      ? ts.createSourceFile(name, codes[paths.indexOf(name)], rest[0])
      : getSourceFile.call(host, name, ...rest)
  const program = ts.createProgram(paths, options, host)
  return paths.map((path) => {
    const file = program.getSourceFile(path)
    const faults = [...program.getSyntacticDiagnostics(file), ...program.getSemanticDiagnostics(file)]
    return faults.map(({ messageText }) => ts.flattenDiagnosticMessageText(messageText, '\n'))
  })
}

describe('the library', () => {
  it('has examples that compile, and a wrong one would not', () => {
    const all = examples()
    expect(all.map(({ where }) => where)).toEqual(expect.arrayContaining(['README.md', 'library.ts']))
    const wrong = all[0].code.replace('marginPct: 1.5', 'margin: 1.5')
    const faults = faultsOf([...all.map(({ code }) => code), wrong])
    expect(faults.at(-1)).toHaveLength(1)
    expect(all.map(({ where }, i) => ({ where, faults: faults[i] }))).toEqual(
      all.map(({ where }) => ({ where, faults: [] })),
    )
  })

  it('tells files apart that nobody gave a digest', async () => {
    const bytesOf = (start: string) => new TextEncoder().encode(straightTrack(start))
    const files = [
      { path: 'a.gpx', bytes: bytesOf('2024-05-03T08:05:00Z') },
      { path: 'b.gpx', bytes: bytesOf('2024-05-03T08:35:00Z') },
      { path: 'copy.gpx', bytes: bytesOf('2024-05-03T08:05:00Z') },
    ]
    const { report } = await reportOfFiles(files, { draws: 100 })
    expect(report.runs.map(({ id }) => id)).toEqual(['a', 'b'])
    expect(report.pairs).toHaveLength(1)
  })

  it('is where package.json says', () => {
    const { exports } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'))
    expect(existsSync(join(ROOT, exports['.'].default))).toBe(true)
  })
})
