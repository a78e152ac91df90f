import { readFileSync } from 'node:fs'

/** The version that package.json states. */
export function packageVersion(): string {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8')
  return (JSON.parse(text) as { version: string }).version
}
