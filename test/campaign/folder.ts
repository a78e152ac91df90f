import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { CampaignSettings } from '../../src/campaign/campaign-input.ts'
import type { InputFile } from '../../src/campaign/load/map-file.ts'
import { runCampaign } from '../../src/campaign/run-campaign.ts'
import type { Report, ReportPair } from '../../src/report/contract.ts'

export const DEFAULTS: CampaignSettings = { marginPct: null, limits: null, draws: 400, seed: 1 }

export function inputFile(path: string, content: string | Uint8Array): InputFile {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content
  return { path, bytes, sha256: createHash('sha256').update(bytes).digest('hex') }
}

/** Files of a folder under the repository whose name passes, as the command line would hand them on. */
export function folderFiles(folder: string, wanted: (name: string) => boolean = () => true): InputFile[] {
  const root = join(import.meta.dirname, '../..', folder)
  return readdirSync(root, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .filter((path) => !path.includes('/report/') && wanted(path))
    .map((path) => inputFile(path.slice(root.length + 1), readFileSync(path)))
}

export async function reportOf(files: InputFile[], settings: Partial<CampaignSettings> = {}): Promise<Report> {
  const { report } = await runCampaign({
    files,
    unreadable: [],
    settings: { ...DEFAULTS, ...settings },
    version: 'test',
  })
  return report
}

/** The pair of two runs whose ids begin so, in either order. */
export function pairOf(report: Report, a: string, b: string): ReportPair {
  const found = report.pairs.find(
    (p) => (p.a.startsWith(a) && p.b.startsWith(b)) || (p.a.startsWith(b) && p.b.startsWith(a)),
  )
  if (!found) throw new Error(`no pair ${a} / ${b} among ${report.pairs.map((p) => `${p.a}/${p.b}`).join(' ')}`)
  return found
}
