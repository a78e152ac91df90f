import { spawn, spawnSync } from 'node:child_process'
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { pathToFileURL } from 'node:url'
import ts from 'typescript'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { readCampaign } from '../../src/read/campaign/campaign.ts'
import { campaignSchema } from '../../src/read/campaign/campaign-schema.ts'
import {
  ceteris,
  ceterisIn,
  type Ended,
  PROGRAM,
  ROOT,
  STEADY_WEATHER,
  shortCampaign,
  straightTrack,
} from './command.ts'

/**
 * The docs' commands, run as they stand: each line of a block marked `sh` in the README or in docs/, each block marked `ts`, and each
 * example of a help text, in a folder in which `my-test` is a small campaign. What installs, builds or tests is not run
 * again from within a test: there it must only exist.
 */
const PAGES = ['README.md', 'DEVELOPERS.md', ...readdirSync(join(ROOT, 'docs')).map((name) => `docs/${name}`)].filter(
  (path) => path.endsWith('.md'),
)
const textOf = (path: string): string => readFileSync(join(ROOT, path), 'utf8')
const DOCS = PAGES.map(textOf).join('\n')
const NOT_RUN_AGAIN = /^(npm|git clone|cd|nvm) /

const blocksOf = (language: string): string[] =>
  [...DOCS.matchAll(/^```(\w+)\n([\s\S]*?)^```/gm)]
    .filter(([, marked]) => marked === language)
    .map(([, , text]) => text)

/** Lines of a shell block, those that end in a backslash joined with the next. */
const linesOf = (block: string): string[] =>
  block
    .replaceAll('\\\n', ' ')
    .split('\n')
    .map((line) => line.replace(/ +# .*$/, '').trim())
    .filter((line) => line !== '' && !line.startsWith('#'))

const shellLines = [...new Set(blocksOf('sh').flatMap(linesOf))]

/** The steady air again, at every full hour of the next two days. */
function forecast(now: number): string {
  const [header, row] = STEADY_WEATHER.split('\n')
  const hours = Array.from({ length: 48 }, (_, i) => new Date(Math.ceil(now / 3_600_000 + i) * 3_600_000).toISOString())
  return [header, ...hours.map((time) => row.replace(/2024-05-03T08:00Z/, time)), ''].join('\n')
}

let top = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-docs-'))
  shortCampaign(join(top, 'my-test'))
  writeFileSync(join(top, 'forecast.csv'), forecast(Date.now()))
  cpSync(join(ROOT, 'samples'), join(top, 'samples'), { recursive: true })
  for (const folder of ['bin', '.zfunc', '.config/fish/completions']) mkdirSync(join(top, folder), { recursive: true })
  writeFileSync(join(top, 'bin/ceteris'), `#!/bin/sh\nexec "${process.execPath}" "${PROGRAM}" "$@"\n`, { mode: 0o755 })
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

const environment = () => ({
  ...process.env,
  HOME: top,
  NO_COLOR: '1',
  PATH: `${join(top, 'bin')}:${process.env.PATH}`,
})

/** Where a shell has nothing to do but to part the words, the program is called at once. */
const shell = (line: string): Ended =>
  /^ceteris( [\w./:=,+-]+)+$/.test(line)
    ? ceterisIn({ cwd: top, env: environment() }, ...line.split(' ').slice(1))
    : spawnSync('bash', ['-o', 'pipefail', '-c', line], { cwd: top, encoding: 'utf8', env: environment() })

/** A command that goes on until it is stopped: run until it says where it listens. */
async function startAndStop(line: string): Promise<number | null> {
  const child = spawn('bash', ['-c', `exec ${line}`], { cwd: top, env: environment() })
  child.stdout.on('data', (part: Buffer) => {
    if (part.toString().includes('http://')) child.kill('SIGINT')
  })
  return new Promise((resolve) => {
    child.once('exit', resolve)
  })
}

/** 0, or 1 where some inputs have errors; the commands themselves are right. */
async function runs(line: string): Promise<void> {
  if (line.startsWith('ceteris watch')) {
    expect(await startAndStop(line)).toBe(0)
    return
  }
  // A manual can only be shown where there is one to show it.
  const { status, stderr } = shell(line.replace(/\| *man -l -$/, '| cat'))
  expect({ line, done: status === 0 || status === 1, stderr: status === 0 ? '' : stderr }).toEqual({
    line,
    done: true,
    stderr: status === 0 ? '' : stderr,
  })
}

describe('the docs', () => {
  it('has blocks to run', () => {
    expect(shellLines.filter((line) => !NOT_RUN_AGAIN.test(line)).length).toBeGreaterThan(0)
    expect(blocksOf('ts').length).toBeGreaterThan(0)
  })

  it.each(shellLines.filter((line) => !NOT_RUN_AGAIN.test(line)))('%s', runs)

  it('names scripts that there are, and for contributors all of them', () => {
    const { scripts } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as {
      scripts: Record<string, string>
    }
    const named = shellLines.flatMap((line) =>
      [...line.matchAll(/npm (?:run )?(demo|test|[a-z]+(?= |$))/g)].map((m) => m[1]),
    )
    const own = named.filter((name) => !['install', 'link', 'ci', 'run', 'exec', 'audit', 'sbom'].includes(name))
    expect(own.filter((name) => !Object.hasOwn(scripts, name))).toEqual([])
    // npm calls those that begin with "pre" by itself.
    const forPeople = Object.keys(scripts).filter((name) => !name.startsWith('pre'))
    const isNamed = (name: string) =>
      new RegExp(`npm (?:run )?(?:-s )?${name}(?![\\w:-])`).test(textOf('DEVELOPERS.md'))
    expect(forPeople.filter((name) => !isNamed(name))).toEqual([])
  })

  it.each(blocksOf('ts').map((block, i) => [i + 1, block]))('library example %i', (i, block) => {
    const folder = join(top, `library-${i}`)
    mkdirSync(folder)
    for (const [name, start] of [
      ['a.gpx', '08:05'],
      ['b.gpx', '08:35'],
    ]) {
      writeFileSync(join(folder, name), straightTrack(`2024-05-03T${start}:00Z`))
    }
    writeFileSync(join(folder, 'weather.csv'), STEADY_WEATHER)
    const library = pathToFileURL(join(ROOT, 'dist/index.js')).href
    const { outputText } = ts.transpileModule(String(block).replaceAll("'ceteris'", `'${library}'`), {
      compilerOptions: { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ES2023 },
    })
    writeFileSync(join(folder, 'example.mjs'), outputText)
    const { status, stderr } = spawnSync(process.execPath, ['example.mjs'], { cwd: folder, encoding: 'utf8' })
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
  })
})

/** Names of all properties in a JSON Schema, at any depth. */
function propertiesOf(schema: unknown): string[] {
  if (typeof schema !== 'object' || schema === null) return []
  const own = 'properties' in schema ? Object.keys(schema.properties as object) : []
  return [...own, ...Object.values(schema).flatMap(propertiesOf)]
}

describe('the docs tell', () => {
  it('nothing that is not there: each link to a file leads to one, each to a heading as well', () => {
    const anchorOf = (heading: string): string =>
      heading
        .toLowerCase()
        .replace(/[^\w\s-]/g, '')
        .trim()
        .replaceAll(' ', '-')
    for (const page of PAGES) {
      for (const [, link] of textOf(page).matchAll(/\]\(((?!https?:)[^)\s]+)\)/g)) {
        const [path, anchor] = link.split('#')
        const target = join(dirname(page), path)
        expect({ page, link, there: existsSync(join(ROOT, target)) }).toEqual({ page, link, there: true })
        if (anchor === undefined) continue
        const anchors = [...textOf(target).matchAll(/^#+ (.+)$/gm)].map(([, heading]) => anchorOf(heading))
        expect({ page, link, anchors }).toMatchObject({ anchors: expect.arrayContaining([anchor]) })
      }
    }
  })

  it('what every code of a problem means, and of no other', () => {
    const sources = readdirSync(join(ROOT, 'src'), { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.ts'))
      .map((name) => textOf(join('src', name)))
      .join('\n')
    // A problem has a severity or a message beside its code; codes of pairs and claims are told by report/words.
    const codes = [...sources.matchAll(/\bcode: '([a-z0-9-]+)',\s*(?:severity|message)\b|\bsay\('([a-z0-9-]+)'/g)].map(
      ([, beside, said]) => beside ?? said,
    )
    expect(codes.length).toBeGreaterThan(100)
    const told = [...textOf('docs/problem-codes.md').matchAll(/`([a-z0-9]+(?:-[a-z0-9]+)*)`/g)].map(([, code]) => code)
    expect(codes.filter((code) => !told.includes(code))).toEqual([])
    expect(told.filter((code) => code.includes('-') && !new RegExp(`['"\`]${code}['"\`]`).test(sources))).toEqual([])
  })

  it('every key of campaign.yaml, in an example that is read without a problem', () => {
    const [, example] = /```yaml\n([\s\S]*?)```/.exec(textOf('docs/files.md'))!
    expect(readCampaign(example).problems).toEqual([])
    const names = propertiesOf(z.toJSONSchema(campaignSchema, { io: 'input' }))
    expect(names.length).toBeGreaterThan(25)
    const untold = names.filter((name) => !name.endsWith('_uncertainty') && !textOf('docs/files.md').includes(name))
    expect(untold).toEqual([])
  })
})

describe('the help', () => {
  it('of every command has exit codes and examples that run when pasted', async () => {
    // The manual holds the help of all commands, one section for each.
    const manual = ceteris('manual').stdout.replace(
      /\\(-|e|&)/g,
      (_, sign) => ({ '-': '-', e: '\\' })[String(sign)] ?? '',
    )
    const helps = manual
      .split('\n.SH EXIT STATUS')[0]
      .split(/^\.SS /m)
      .slice(1)
    expect(helps.length).toBeGreaterThanOrEqual(7)
    expect(helps.filter((help) => !help.includes('Exit codes: 0'))).toEqual([])
    const examples = helps.flatMap((help) => [...help.matchAll(/^ {2}\$ (.*)$/gm)].map((m) => m[1]))
    expect(examples.length).toBeGreaterThanOrEqual(helps.length)
    for (const example of examples.filter((line) => !shellLines.includes(line))) await runs(example)
  })
})
