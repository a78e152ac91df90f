/** The form in which column names are compared: lower case, trimmed, spaces and hyphens as underscores. */
export function columnName(written: string): string {
  return written
    .trim()
    .toLowerCase()
    .replace(/[\s-]+/g, '_')
}
