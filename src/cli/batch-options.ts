import type { ReportOptions } from './report-options.ts'

/** A share of the work; the first has the number 1. */
export interface Part {
  number: number
  of: number
}

export interface MapOptions {
  root: string
  part?: Part
  out?: string
}

export interface PartOptions {
  part: Part
  root?: string
  limits?: string[]
  draws: number
  seed: number
  jobs: number
  out?: string
}

export interface ReduceOptions extends ReportOptions {
  out: string
  root?: string
}
