import { readdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { zipSync } from 'fflate'
import { ROOT } from './bundle.mjs'

/** A sample's files in one archive, the same bytes every time, in base64. */
export function sampleCampaign(name) {
  const folder = join(ROOT, 'samples', name)
  const paths = readdirSync(folder, { recursive: true }).filter((path) => statSync(join(folder, path)).isFile())
  const entries = paths.sort().map((path) => [`${name}/${path.replaceAll('\\', '/')}`, readFileSync(join(folder, path))])
  const archive = zipSync(Object.fromEntries(entries), { level: 9, mtime: '1980-01-01T12:00:00' })
  return Buffer.from(archive).toString('base64')
}
