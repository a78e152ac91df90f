import type { Problem } from '../base/problem.ts'
import { forgetful, type Remember } from '../base/remember.ts'
import type { WorthSettings } from './claims/worth.ts'
import { type ComputeRuns, computeHere } from './drive/run-results.ts'
import { drivesFrom, motionsIn } from './load/drive-source.ts'
import type { InputFile, WholeFile } from './load/map-file.ts'
import type { MotionSource } from './load/runs.ts'

/** How a report is made. */
export interface CampaignSettings {
  /** null: the campaign's own. */
  marginPct: number | null
  limits: string[] | null
  draws: number
  seed: number
  /** Take a trend in time of the baseline's runs out of the claims. */
  correctDrift?: boolean
  /** Pool the claims of several routes. */
  poolRoutes?: boolean
  /** Say what a claim is worth in a year. */
  worth?: WorthSettings | null
}

/** What a report is made of. */
export interface CampaignInput {
  files: InputFile[]
  /** What could not even be read. */
  unreadable: Problem[]
  settings: CampaignSettings
  version: string
  /** Stands for the title where campaign.yaml gives none. */
  folderName?: string
}

/** Who does the work on a campaign's runs, and what is known of them from before. */
export interface CampaignWork {
  motions: MotionSource
  computeRuns: ComputeRuns
  remember: Remember
}

/** All work done here, with drives in memory, and nothing known from before. */
export function workHere(files: WholeFile[]): CampaignWork {
  const motions = motionsIn(files)
  return { motions, computeRuns: computeHere(drivesFrom(motions)), remember: forgetful }
}
