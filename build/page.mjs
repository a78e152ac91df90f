import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { DIST } from './bundle.mjs'
import { pageText } from './page-text.mjs'

/** Writes the page; `node build/page.mjs <script> <file>` writes one with another script for its own thread, for tests. */
const [main, file = join(DIST, 'ceteris.html')] = process.argv.slice(2)
writeFileSync(file, await pageText(main))
