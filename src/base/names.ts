/**
 * A name made fit to be shown: control characters, and signs that turn the direction of text or have no width, become a
 * visible sign; broken halves of characters too.
 * @source Unicode Standard Annex 9, 2 (directional formatting characters: the property Bidi_Control)
 */
export function cleaned(name: string): string {
  return name.replace(/[\p{Cs}\p{Cc}\p{Bidi_Control}\u2028\u2029\u200B\u2060-\u2069\uFEFF]/gu, '\uFFFD')
}
