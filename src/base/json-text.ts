/**
 * A value as JSON that a terminal may show: `JSON.stringify` escapes the control characters below U+0020 alone. Here
 * those of U+007F to U+009F are escaped too, and the signs that turn the direction of text. What a reader of JSON gets
 * is the same.
 * @param indent blanks for each level; all in one line where it is 0
 * @source RFC 8259, 7; ECMA-48, 5.3 (C1 set); Unicode Standard Annex 9, 2 (the property Bidi_Control)
 */
export function jsonText(value: unknown, indent = 0): string {
  return escapedJson(JSON.stringify(value, null, indent))
}

/** A text of JSON with the same escapes: outside its strings there are none of these characters. */
export function escapedJson(json: string): string {
  return json.replace(/[\u007F-\u009F\u061C\u200E\u200F\u2028-\u202E\u2066-\u2069]/g, escapeOf)
}

const escapeOf = (sign: string): string => `\\u${sign.charCodeAt(0).toString(16).padStart(4, '0')}`
