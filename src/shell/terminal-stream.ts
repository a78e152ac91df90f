const MOST_COLUMNS = 120
const COLUMNS_WHEN_NO_TERMINAL = 100

/** Columns to write to a stream. */
export const columnsOf = (stream: NodeJS.WriteStream): number =>
  Math.min(stream.columns || COLUMNS_WHEN_NO_TERMINAL, MOST_COLUMNS)

/** @source no-color.org: the variable, when not empty, turns colour off. */
export const colorOn = (stream: NodeJS.WriteStream): boolean =>
  stream.isTTY === true && !process.env.NO_COLOR && process.env.TERM !== 'dumb'
