import { createHash } from 'node:crypto'
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { rolldown } from 'rolldown'
import { DIST, licencesOf, ROOT } from './bundle.mjs'
import { fitForScript, inBrowser, pageScript } from './page-script.mjs'

/**
 * Writes dist/ceteris.html: the whole program in one file that opens no connection. The script of the workers, nine
 * tenths of it, stands there packed, so that the page is there before it is read.
 */
const { code: main } = await scriptOf('src/app/main.ts')
const { code: worker, licences } = await scriptOf('src/app/compute/worker.ts')
const reportScript = await reportScriptText()
const style = readFileSync(join(ROOT, 'src/app/page.css'), 'utf8')
const frame = readFileSync(join(ROOT, 'src/app/page.html'), 'utf8')
const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'))

const hashOf = (text) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`
/** A report that the page shows in a frame falls under the page's policy too: its script is allowed. */
const policy = [
  "default-src 'none'",
  // WebAssembly unpacks elevation tiles, in a worker.
  `script-src ${hashOf(main)} ${hashOf(reportScript)} 'wasm-unsafe-eval'`,
  'worker-src blob:',
  "style-src 'unsafe-inline'",
  'img-src blob: data:',
  'font-src data:',
  'frame-src blob:',
  "connect-src 'none'",
  "form-action 'none'",
  "base-uri 'none'",
].join('; ')

const parts = {
  policy,
  version,
  style,
  worker: gzipSync(worker, { level: 9 }).toString('base64'),
  licences: gzipSync(licences, { level: 9 }).toString('base64'),
  main: fitForScript(main, 'src/app/main.ts'),
}
const page = frame.replace(/\{\{(\w+)\}\}/g, (_, name) => parts[name])
mkdirSync(DIST, { recursive: true })
writeFileSync(join(DIST, 'ceteris.html'), page)

async function scriptOf(input) {
  const bundle = await rolldown({ cwd: ROOT, input, platform: 'browser', logLevel: 'warn', plugins: [inBrowser(), pageScript()] })
  const { output } = await bundle.generate({ format: 'iife', comments: false, minify: true, codeSplitting: false })
  await bundle.close()
  return { code: output[0].code, licences: licencesOf(output) }
}

/** The script of the reports that the page shows. */
async function reportScriptText() {
  const bundle = await rolldown({ cwd: ROOT, input: 'src/report/page/script/script.ts', plugins: [pageScript()] })
  const { output } = await bundle.generate({ format: 'es' })
  await bundle.close()
  const { SCRIPT } = await import(`data:text/javascript,${encodeURIComponent(output[0].code)}`)
  return SCRIPT
}
