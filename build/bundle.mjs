import { existsSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { isAbsolute, join } from 'node:path'
import { rolldown } from 'rolldown'
import { pageScript } from './page-script.mjs'

export const ROOT = join(import.meta.dirname, '..')
export const DIST = join(ROOT, 'dist')
/** Written last: what is older than this is in the build. */
const DONE = join(DIST, 'third-party-licences.txt')

/** What is started or imported from outside, by its place in src/, which is its place in dist/ too. */
const ENTRIES = [
  'index',
  'cli/main',
  'cli/watch-worker',
  'work/worker',
  'work/digest-worker',
  // What it says of its own place holds only for a file of its own.
  'files/program',
  // For the build itself: it publishes the schema.
  'report/json',
]

/** Not bundled: a binary for each platform, files found by their place in the package, threads started from files. */
const EXTERNAL = [/^node:/, '@resvg/resvg-js', 'tinypool']

const options = (entries) => ({
  cwd: ROOT,
  input: Object.fromEntries(entries.map((name) => [name, join('src', `${name}.ts`)])),
  platform: 'node',
  external: EXTERNAL,
  plugins: [pageScript()],
  logLevel: 'warn',
})

/** Writes the program to dist/, split so that a command loads only its own code. What tsc has put into dist/types stays. */
export async function bundleProgram() {
  for (const name of existsSync(DIST) ? readdirSync(DIST) : []) {
    if (name !== 'types') rmSync(join(DIST, name), { recursive: true })
  }
  const bundle = await rolldown(options(ENTRIES))
  const { output } = await bundle.write({
    dir: DIST,
    chunkFileNames: 'chunks/[name]-[hash].js',
    comments: { legal: true },
    // Shorter files load faster; names stay, for the calls that a fault's report lists.
    minify: { compress: true, mangle: false, codegen: { removeWhitespace: true } },
  })
  await bundle.close()
  writeFileSync(DONE, licencesOf(output))
}

/** Writes each file of src/ as a module of its own to dist-modules/, for benches and tools that call parts of the program. */
export async function writeModules() {
  const dir = join(ROOT, 'dist-modules')
  rmSync(dir, { recursive: true, force: true })
  const names = readdirSync(join(ROOT, 'src'), { recursive: true }).filter((name) => /(?<!\.d)\.ts$/.test(name))
  const external = (id, importer) => importer !== undefined && !/^[./]/.test(id) && !isAbsolute(id)
  const bundle = await rolldown({ ...options(names.map((name) => name.slice(0, -3).replaceAll('\\', '/'))), external })
  await bundle.write({ dir, preserveModules: true, preserveModulesRoot: 'src' })
  await bundle.close()
}

/** Whether dist/ was built from the files as they are now. */
export function isBuilt() {
  if (!existsSync(DONE)) return false
  const built = statSync(DONE).mtimeMs
  const sources = ['src', 'build'].flatMap((folder) => [
    folder,
    ...readdirSync(join(ROOT, folder), { recursive: true }).map((name) => join(folder, name)),
  ])
  return ['package.json', 'package-lock.json', ...sources].every((path) => statSync(join(ROOT, path)).mtimeMs < built)
}

/** Names, licences and copyright notices of the packages whose code is in the bundle, which their licences ask for. */
export function licencesOf(output) {
  const modules = output.flatMap((chunk) => Object.keys(chunk.modules ?? {}))
  const folders = new Set(modules.map((id) => /^[^\0]*node_modules[\\/](?:@[^\\/]+[\\/])?[^\\/]+/.exec(id)?.[0]).filter(Boolean))
  const entries = [...folders].map((folder) => {
    const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'))
    const file = readdirSync(folder).find((found) => /^licen[cs]e/i.test(found))
    const text = file ? readFileSync(join(folder, file), 'utf8').trim() : 'The package holds no text of its licence.'
    return `${name} ${version}, ${license}\n\n${text}\n`
  })
  return `Packages whose code stands in the bundled program.\n\n${entries.sort().join('\n---\n\n')}`
}

