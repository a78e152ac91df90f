import { sha256, toHex } from './base/platform.ts'
import type { CampaignSettings } from './campaign/campaign-input.ts'
import type { CampaignResult } from './campaign/campaign-result.ts'
import type { InputFile } from './campaign/load/map-file.ts'
import { runCampaign } from './campaign/run-campaign.ts'
import { packageVersion } from './shell/package-version.ts'

const DEFAULTS: CampaignSettings = { marginPct: null, limits: null, draws: 400, seed: 1 }

/**
 * Makes the report of a campaign's files: what `ceteris report` does, from bytes in memory and without writing anything.
 *
 * @param files tracks and weather, and if there are any runs.csv, campaign.yaml and elevation tiles; the order is no matter
 * @param settings what the options of the command line set; by default 400 draws, seed 1, and the campaign's own margin
 * @returns the report, and what goes into the folder beside it; bad files are among its problems and stop nothing
 *
 * @example
 * ```ts
 * import { readFileSync } from 'node:fs'
 * import { reportOfFiles } from 'ceteris'
 *
 * const files = ['a.gpx', 'b.gpx', 'weather.csv'].map((path) => ({ path, bytes: readFileSync(path) }))
 * const { report } = await reportOfFiles(files, { marginPct: 1.5 })
 * for (const { a, b, difference_pct, verdict } of report.pairs) console.log(a, b, difference_pct, verdict)
 * ```
 */
export function reportOfFiles(
  files: readonly Pick<InputFile, 'path' | 'bytes'>[],
  settings: Partial<CampaignSettings> = {},
): Promise<CampaignResult> {
  return runCampaign({
    files: files.map((file) => ({ ...file, sha256: toHex(sha256(file.bytes)) })),
    unreadable: [],
    settings: { ...DEFAULTS, ...settings },
    version: packageVersion(),
  })
}
