import type { Given, GivenFile, OutputFile, Progress, Recognised } from './compute.ts'
import type { MapJob, MappedGiven } from './map-given.ts'

// What the page's thread, the worker that computes and its helpers say to each other. A call and its answers carry one
// number.

/** What the worker that computes is started with. */
export interface Start {
  /** The address of its own script, for the helpers that it starts. */
  script: string
  version: string
  /** Helpers that read files, at most. */
  threads: number
}

/** A file with a number that stands for its content: what had it before has not changed. */
export interface SentFile extends GivenFile {
  id: number
}

export type SentGiven = Omit<Given, 'files'> & { files: SentFile[] }

export type Call =
  | { call: 'recognise' | 'report'; given: SentGiven }
  /** Of the report that a call made. */
  | { call: 'page' | 'outputFiles'; of: number }

export type ToWorker = { start: Start } | { id: number; asked: Call } | { stop: number }

export interface Results {
  recognise: Recognised
  /** The text of report.json. */
  report: string
  page: string
  outputFiles: OutputFile[]
}

export type FromWorker = { id: number } & (
  | { progress: Progress }
  | { result: Results[keyof Results] }
  | { failed: Failure }
)

/** Why a call has no result: it was stopped, its report is no longer there, or there is a fault in the program. */
export interface Failure {
  why: 'stopped' | 'superseded' | 'fault'
  message: string
}

export type ToHelper = { map: MapJob }
export type FromHelper = { mapped: MappedGiven } | { fault: string }
