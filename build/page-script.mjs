import { join, resolve } from 'node:path'
import { rolldown } from 'rolldown'

const QUERY = '?bundle'

/**
 * `import text from './x.ts?bundle'` gives, as one text that a browser runs, the script that starts in x.ts. A plugin of
 * the build and of the tests alike, so that the script in a page is never older than its source.
 */
export const pageScript = () => ({
  name: 'page-script',
  resolveId: (id, importer) => (id.endsWith(QUERY) ? resolve(importer, '..', id) : null),
  async load(id) {
    if (!id.endsWith(QUERY)) return null
    const text = await bundled(id.slice(0, -QUERY.length))
    return { code: `export default ${JSON.stringify(text)}`, moduleType: 'js' }
  },
})

async function bundled(input) {
  const cwd = join(import.meta.dirname, '..')
  const bundle = await rolldown({ input, cwd, platform: 'browser', logLevel: 'warn', treeshake: { moduleSideEffects: false } })
  const { output } = await bundle.generate({ format: 'iife', comments: false, minify: 'dce-only' })
  await bundle.close()
  // A page's script ends at the first of these, wherever it stands.
  if (/<\/script|<!--/i.test(output[0].code)) throw new Error(`${input} holds a text that would end the page's script`)
  return output[0].code
}
