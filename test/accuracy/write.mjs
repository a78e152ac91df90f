/** `npm run accuracy`: computes every comparison anew, writes docs/accuracy.md and prints it. */
import { writeFileSync } from 'node:fs'
import { register } from 'node:module'
import { fileURLToPath } from 'node:url'

register('../../samples/load-typescript.mjs', import.meta.url)
const { comparisons } = await import('./all.ts')
const { accuracyPage, largest } = await import('./comparison.ts')

const page = accuracyPage(comparisons)
writeFileSync(fileURLToPath(new URL('../../docs/accuracy.md', import.meta.url)), page)
console.log(page)
const beyond = comparisons.filter((comparison) => !(largest(comparison) <= comparison.limit))
for (const { key, limit } of beyond) console.error(`${key}: further off than ${limit}`)
process.exitCode = beyond.length > 0 ? 1 : 0
