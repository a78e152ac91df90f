import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join, resolve } from 'node:path'
import { rolldown } from 'rolldown'

const [BUNDLE, BASE64] = ['?bundle', '?base64']

/**
 * `import text from './x.ts?bundle'` gives, as one text that a browser runs, the script that starts in x.ts; and
 * `import text from 'package/file?base64'` the bytes of a file. A plugin of the build and of the tests alike, so that the
 * script in a page is never older than its source.
 */
export const pageScript = () => ({
  name: 'page-script',
  // The tests' own loader would take a font for a file to be served.
  enforce: 'pre',
  resolveId: (id, importer) => {
    if (id.endsWith(BUNDLE)) return resolve(importer, '..', id)
    return id.endsWith(BASE64) ? createRequire(importer).resolve(id.slice(0, -BASE64.length)) + BASE64 : null
  },
  async load(id) {
    const text = id.endsWith(BUNDLE)
      ? await bundled(id.slice(0, -BUNDLE.length))
      : id.endsWith(BASE64)
        ? readFileSync(id.slice(0, -BASE64.length)).toString('base64')
        : null
    return text === null ? null : { code: `export default ${JSON.stringify(text)}`, moduleType: 'js' }
  },
})

async function bundled(input) {
  const cwd = join(import.meta.dirname, '..')
  const bundle = await rolldown({ input, cwd, platform: 'browser', logLevel: 'warn', treeshake: { moduleSideEffects: false } })
  const { output } = await bundle.generate({ format: 'iife', comments: false, minify: 'dce-only' })
  await bundle.close()
  return fitForScript(output[0].code, input)
}

/** A page's script ends at the first of these, wherever it stands. */
export function fitForScript(code, of) {
  if (/<\/script|<!--/i.test(code)) throw new Error(`${of} holds a text that would end the page's script`)
  return code
}

/** A browser has other means for digests and unpacking. */
export const inBrowser = () => ({
  name: 'in-browser',
  resolveId: (id, importer) =>
    /(^|\/)platform\.ts$/.test(id) && importer ? resolve(import.meta.dirname, '../src/base/platform-browser.ts') : null,
})

/** Tiles are unpacked where they are read: geotiff's workers of its own, 90 kB packed, are never started. */
export const withoutTileWorkers = () => ({
  name: 'without-tile-workers',
  load: (id) =>
    /[\\/]geotiff[\\/].*[\\/]worker[\\/]create\.js$/.test(id)
      ? { code: 'export default () => { throw new Error("a worker for tiles was asked for") }', moduleType: 'js' }
      : null,
})
