/**
 * True for an IANA zone's name. Only names: an offset such as +02:00 has no summer time and is not accepted by every
 * runtime.
 */
export function isTimeZone(name: string): boolean {
  if (!/^[A-Za-z]/.test(name)) return false
  try {
    new Intl.DateTimeFormat('en', { timeZone: name })
    return true
  } catch (error) {
    if (error instanceof RangeError) return false
    throw error
  }
}

/** The names of all zones that this runtime knows. */
export const timeZones = (): string[] => Intl.supportedValuesOf('timeZone')
