/** Writes the invented sample campaigns: `node samples/generate.mjs`. The same bytes every time. */
import { mkdir, writeFile } from 'node:fs/promises'
import { register } from 'node:module'

register('./load-typescript.mjs', import.meta.url)
const { sampleFiles } = await import('./scenario.ts')

for (const [path, text] of sampleFiles()) {
  const target = new URL(path, import.meta.url)
  await mkdir(new URL('.', target), { recursive: true })
  await writeFile(target, text)
  console.log(`${String(text.length).padStart(8)} ${path}`)
}
