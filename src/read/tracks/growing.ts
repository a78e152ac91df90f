/** A column that grows while a file is read: one buffer, doubled when full. */
export interface GrowingValues {
  count: number
  values: Float64Array
}

export const growing = (): GrowingValues => ({ count: 0, values: new Float64Array(256) })

export function pushed(column: GrowingValues, value: number): void {
  if (column.count === column.values.length) {
    const larger = new Float64Array(2 * column.count)
    larger.set(column.values)
    column.values = larger
  }
  column.values[column.count++] = value
}

/** The column cut to its length. */
export const trimmed = ({ count, values }: GrowingValues): Float64Array => values.slice(0, count)
