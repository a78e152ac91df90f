import { readFileSync } from 'node:fs'
import { programFile } from '../files/program.ts'

/** The version that package.json states. */
export function packageVersion(): string {
  const text = readFileSync(programFile('../package.json'), 'utf8')
  return (JSON.parse(text) as { version: string }).version
}
