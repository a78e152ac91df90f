import { readdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { zipSync } from 'fflate'
import { ROOT } from './bundle.mjs'

/**
 * A sample's files in one archive, in base64, the same bytes every time.
 * @param packedTrack how a track is packed before, if it can be
 */
export function sampleCampaign(name, packedTrack) {
  const folder = join(ROOT, 'samples', name)
  // What the program wrote there, as the demo does, is no part of the sample.
  const paths = readdirSync(folder, { recursive: true }).filter(
    (path) => !/^report(?:[\\/]|$)/.test(path) && statSync(join(folder, path)).isFile(),
  )
  const entries = paths.sort().map((path) => {
    const bytes = readFileSync(join(folder, path))
    const packed = packedTrack(bytes.toString('utf8'))
    const placed = `${name}/${path.replaceAll('\\', '/')}`
    return packed === null ? [placed, bytes] : [`${placed}.packed`, packed]
  })
  const archive = zipSync(Object.fromEntries(entries), { level: 9, mtime: '1980-01-01T12:00:00' })
  return Buffer.from(archive).toString('base64')
}
