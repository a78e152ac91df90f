import type { Problem } from '../../base/problem.ts'
import type { CampaignSettings } from '../../campaign/campaign-input.ts'
import type { Report } from '../../report/contract.ts'

/**
 * A file as it was given to the page. Its content is read by the worker that needs it, so that nothing large is ever
 * copied; a text that was edited is a Blob of its own. Keep the same Blob for what has not changed: it is read once.
 */
export interface GivenFile {
  /** Relative to the folder, '/' between its parts. */
  path: string
  content: Blob
}

/** What a report is made of. */
export interface Given {
  files: readonly GivenFile[]
  /** Stands for the title where campaign.yaml gives none, as on the command line. */
  folderName?: string
  /** What was found wrong when the files were listed. */
  unreadable?: readonly Problem[]
  /** By default 400 draws, seed 1, and the campaign's own margin and limits. */
  settings?: Partial<CampaignSettings>
}

/** How far the work has come. */
export interface Progress {
  step: 'reading' | 'computing' | 'writing'
  /** Bytes of files read, drives computed, or files written. */
  done: number
  total: number
}

/** Where a recording went, thinned to a point every 25 m or more; columns of one length. */
export interface Course {
  /** As in the report's recordings. */
  track: string
  /** Seconds since 1970 UTC. */
  time: Float64Array
  latitude: Float64Array
  longitude: Float64Array
}

/** What was found in the files, before anything is computed. */
export interface Recognised {
  inputs: Report['inputs']
  problems: Report['problems']
  recordings: Report['recordings']
  courses: Course[]
  drives: FoundDrive[]
  /** The text of the runs.csv that `ceteris init` would write. */
  firstRuns: string
}

/** A drive that was found, as the report will name it. */
export interface FoundDrive {
  id: string
  track: string
  /** The road's name, as in the report's routes. */
  route: string
  /** As runs.csv says; null where no row names the drive. */
  setup: string | null
  /** Where its row begins in runs.csv, and whether that row is about no other drive; null without one. */
  row: { line: number; isItsAlone: boolean } | null
  /** Seconds since 1970 UTC. */
  startTime: number
  endTime: number
  distanceM: number
}

/** A file of the report's folder. */
export interface OutputFile {
  /** As `ceteris report` names it: report.json, cards/claim-full.svg. */
  path: string
  content: Blob
}

/** A report. What is written of it is made when it is asked for, and only until the next report is begun. */
export interface Computed {
  /** As report.json tells it. */
  report: Report
  /** The text of report.json. */
  json: string
  /** The text of index.html. */
  page: () => Promise<string>
  /** All files that `ceteris report` writes, pictures of the cards too. */
  outputFiles: (onProgress?: OnProgress, signal?: AbortSignal) => Promise<OutputFile[]>
}

export type OnProgress = (progress: Progress) => void

/** The flow from files to a report, off the main thread. A call that is made while another is at work waits for it. */
export interface Compute {
  recognise: (given: Given, onProgress?: OnProgress, signal?: AbortSignal) => Promise<Recognised>
  report: (given: Given, onProgress?: OnProgress, signal?: AbortSignal) => Promise<Computed>
  /** Ends all workers and forgets what they kept. */
  close: () => void
}
