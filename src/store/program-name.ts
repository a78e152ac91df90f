import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { programFile } from '../files/program.ts'

/**
 * Names the program so that nothing else has its name: with a digest of its own files, because a version number alone
 * would let a program under development believe its past, and with the engine that it computes with.
 */
export const programName = (version: string): string =>
  `ceteris ${version}, build ${programDigest().slice(0, 16)}, V8 ${process.versions.v8}`

function programDigest(): string {
  const root = fileURLToPath(programFile('.'))
  const hash = createHash('sha256')
  for (const name of readdirSync(root, { recursive: true, encoding: 'utf8' }).sort()) {
    if (name.endsWith('.js')) hash.update(`${name}\n`).update(readFileSync(join(root, name)))
  }
  return hash.digest('hex')
}
