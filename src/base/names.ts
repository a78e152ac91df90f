/**
 * A name made fit to be shown: control characters, and signs that turn the direction of text or have no width, become a
 * visible sign; broken halves of characters too.
 */
export function cleaned(name: string): string {
  return name.replace(/[\p{Cs}\p{Cc}\u2028\u2029\u200B\u200E\u200F\u202A-\u202E\u2060-\u2069\uFEFF]/gu, '\uFFFD')
}
