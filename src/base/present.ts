/** A value that is there by our own logic. Where it is not, the program is at fault, and stops here instead of later. */
export function present<T>(value: T | null | undefined): T {
  if (value === null || value === undefined) throw new Error('a value that must be there is missing')
  return value
}
