/** The lines of a text with their numbers, whatever their ends: `\n`, `\r\n`, `\r` or any mixture of these. */
export function* lineStartsOf(text: string): Generator<{ line: number; text: string }> {
  let line = 1
  for (let from = 0; from < text.length; line++) {
    const feed = text.indexOf('\n', from)
    const end = feed < 0 ? text.length : feed
    const whole = text.slice(from, end)
    // A return alone ends a line too; before a feed it belongs to it.
    for (const part of whole.replace(/\r+$/, '').split('\r')) if (part !== '') yield { line, text: part }
    from = end + 1
  }
}
