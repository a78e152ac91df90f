import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { rolldown } from 'rolldown'
import { licencesOf, ROOT } from './bundle.mjs'
import { fitForScript, inBrowser, pageScript, withoutTileWorkers } from './page-script.mjs'
import { sampleCampaign } from './sample.mjs'

/**
 * The text of ceteris.html: the whole program in one file that opens no connection. The script of the workers, nine tenths
 * of it, stands there packed, so that the page is there before it is unpacked.
 * @param main the script of the page's own thread, by its place below the root; tests have one of their own
 */
export async function pageText(main = 'src/app/main.ts') {
  const { code, output } = await scriptOf(main)
  const { code: worker, output: ofWorker } = await scriptOf('src/app/compute/worker.ts')
  const { SCRIPT: reportScript } = await valuesOf('src/report/page/script/script.ts')
  const { PAGE_STYLE: style } = await valuesOf('src/app/ui/style.ts')
  const { packedTrack } = await valuesOf('src/app/sample/packed-track.ts')
  const script = fitForScript(code, main)
  const parts = {
    policy: policyOf([script, reportScript]),
    version: JSON.parse(read('package.json')).version,
    style,
    worker: packed(worker),
    sample: sampleCampaign('ladder-van', packedTrack),
    licences: packed(licencesOf([...output, ...ofWorker])),
    main: script,
  }
  return read('src/app/page.html').replace(/\{\{(\w+)\}\}/g, (_, name) => parts[name])
}

const read = (name) => readFileSync(join(ROOT, name), 'utf8')
const packed = (text) => gzipSync(text, { level: 9 }).toString('base64')
const hashOf = (text) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`

/**
 * Nothing but the page's own scripts may run, and nothing may be fetched. A report that the page shows in a frame falls
 * under this policy too, so that its script is among them.
 */
const policyOf = (scripts) =>
  [
    "default-src 'none'",
    // WebAssembly unpacks elevation tiles, in a worker.
    `script-src ${scripts.map(hashOf).join(' ')} 'wasm-unsafe-eval'`,
    'worker-src blob:',
    "style-src 'unsafe-inline'",
    'img-src blob: data:',
    'font-src data:',
    'frame-src blob:',
    "connect-src 'none'",
    "form-action 'none'",
    "base-uri 'none'",
  ].join('; ')

async function scriptOf(input) {
  const plugins = [inBrowser(), withoutTileWorkers(), pageScript()]
  const bundle = await rolldown({ cwd: ROOT, input, platform: 'browser', logLevel: 'warn', plugins })
  const { output } = await bundle.generate({ format: 'iife', comments: false, minify: true, codeSplitting: false })
  await bundle.close()
  return { code: output[0].code, output }
}

/** What a module gives: the script of the reports that the page shows, the page's style. */
async function valuesOf(input) {
  const bundle = await rolldown({ cwd: ROOT, input, plugins: [inBrowser(), pageScript()] })
  const { output } = await bundle.generate({ format: 'es', codeSplitting: false })
  await bundle.close()
  return import(`data:text/javascript,${encodeURIComponent(output[0].code)}`)
}
