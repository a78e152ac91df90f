import { execFileSync } from 'node:child_process'
import { join } from 'node:path'
import { isBuilt, ROOT } from './bundle.mjs'

/** Before any test: builds the program anew if a source is younger than it, so that no test starts an old one. */
export default function setup() {
  if (!isBuilt()) execFileSync(process.execPath, [join(ROOT, 'build/build.mjs'), '--no-types'], { stdio: 'inherit' })
}
