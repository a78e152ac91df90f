const LEAST_COLUMNS = 40
const MOST_COLUMNS = 120
const COLUMNS_WHEN_NO_TERMINAL = 100

/**
 * Columns to write to a stream: those of its terminal; without one those of the variable COLUMNS, where it is a number.
 * @source POSIX.1-2024, XBD 8.3: COLUMNS, the width that a user prefers
 */
export function columnsOf(stream: NodeJS.WriteStream): number {
  const columns = stream.columns || Number(process.env.COLUMNS) || COLUMNS_WHEN_NO_TERMINAL
  return Math.min(Math.max(columns, LEAST_COLUMNS), MOST_COLUMNS)
}

/** @source no-color.org: the variable, when not empty, turns colour off. */
export const colorOn = (stream: NodeJS.WriteStream): boolean =>
  stream.isTTY === true && !process.env.NO_COLOR && process.env.TERM !== 'dumb'
