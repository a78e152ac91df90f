import { execFileSync } from 'node:child_process'
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { bundleProgram, DIST, ROOT } from './bundle.mjs'
import { pageText } from './page-text.mjs'

/**
 * Builds dist/: the command line and the library as bundles, the page, the library's types, the report's schema and
 * the manual.
 * `--no-types` leaves the types out, which take most of the time.
 */
await bundleProgram()
writeFileSync(join(DIST, 'ceteris.html'), await pageText())
const { jsonSchemaText } = await import('../dist/report/json.js')
writeFileSync(join(DIST, 'report.schema.json'), jsonSchemaText())
const node = (...args) => execFileSync(process.execPath, args, { cwd: ROOT, encoding: 'utf8' })
writeFileSync(join(DIST, 'ceteris.1'), node('bin/ceteris.js', 'manual'))
if (!process.argv.includes('--no-types')) node('node_modules/typescript/bin/tsc', '-p', '.')
