/** The groups of the page's tables of drives, in their order. */
export const RUN_GROUPS = [
  'Drive',
  'Fuel or energy',
  'Road',
  'Air',
  'Wind',
  'Sun',
  'Predicted energy demand (vehicle unchanged)',
] as const
export type RunGroup = (typeof RUN_GROUPS)[number]

/** The lines of `inspect` that hold figures, in their order. */
export const INSPECT_LINES = ['Drive', 'Road', 'Air', 'Wind', 'Sky', 'Stations'] as const
export type InspectLine = (typeof INSPECT_LINES)[number]

/** Where a quantity of a drive is shown. */
export interface Shown {
  /** The label of narrow tables, Markdown and cards. */
  short: string
  /** Group of the page's table; null: not in it. */
  group: RunGroup | null
  /** Table of report.md; null: in none. */
  markdown: 'drives' | 'conditions' | 'both' | null
  /**
   * Header of the terminal's column; the highest rank goes first where the width does not do, 0 never; names wider than
   * `widest` are cut in the middle.
   */
  terminal: { header: string; rank: number; widest?: number } | null
  /**
   * Words before and behind the value with its unit, where it stands in a line of text, "gusts 8.2 m/s", and whether it
   * carries on the phrase before it, "3.1 m/s from 240°".
   */
  phrase: { before: string; behind: string; carriesOn?: boolean }
  /** Line of `inspect` that holds its phrase; null: in none. */
  inspect: InspectLine | null
  /**
   * Place among the figures of a card; the path of what is told behind it in smaller print; the path of what it
   * replaces where it is known; what a negative value is called, which is then told without its sign.
   */
  card: { place: number; behind?: string; insteadOf?: string; opposite?: string } | null
}

/** As a row of a table says it: what is left out is shown nowhere, and the label is short enough. */
export type Places = Partial<Shown>
