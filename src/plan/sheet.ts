import type { System } from '../base/quantities.ts'
import { mean } from '../base/statistics.ts'
import type { MeasuringWay } from './choices.ts'
import { mirroredRounds } from './order.ts'

/** A sheet for the field: what is known before the first drive. */
export interface FieldSheet {
  title: string | null
  /** null: the sheet has a line to write it on. */
  vehicle: string | null
  fuel: string | null
  road: string | null
  /** In which the times are written; null: a line to write it on. */
  timeZone: string | null
  way: MeasuringWay
  system: System
  setups: string[]
  /** The setup of each drive, in the order to drive them. */
  drives: string[]
  /** How far a steady drift shifts the difference of two setups at most, in units of what it does from drive to drive. */
  driftShift: number
  /** Where the number of drives comes from an effect to be found. */
  forEffect: { effectPct: number; runsPerSetup: number; isEnough: boolean } | null
}

/**
 * The order to drive several setups in, the first being the baseline: mirrored rounds. Of one drive each the baseline is
 * driven again at the end, which shows the drift.
 */
export function sheetOrder(setups: readonly string[], runsPerSetup: number): Pick<FieldSheet, 'drives' | 'driftShift'> {
  const rounds = mirroredRounds(setups.length, runsPerSetup)
  const order = runsPerSetup === 1 ? [...rounds, 0] : rounds
  const places = setups.map((_, setup) => mean(order.flatMap((s, place) => (s === setup ? [place] : []))))
  return {
    drives: order.map((setup) => setups[setup]),
    driftShift: Math.max(...places) - Math.min(...places),
  }
}
