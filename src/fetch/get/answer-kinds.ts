import type { Verdict } from '../types.ts'

/** Text of an answer; services that write another encoding are read for their ASCII alone here. */
export const textOf = (bytes: Uint8Array): string => new TextDecoder('latin1').decode(bytes)

const WHOLE: Verdict = { state: 'whole' }

/** What holds for every service: 200 is no proof of an answer. Null where nothing is wrong so far. */
function notAnAnswer(bytes: Uint8Array): Verdict | null {
  if (bytes.length === 0) return { state: 'broken', why: 'the answer is empty' }
  const head = textOf(bytes.subarray(0, 2000)).trimStart()
  if (head === '') return { state: 'broken', why: 'the answer holds nothing but blanks' }
  if (/^(<!doctype html|<html|<head|<body)/i.test(head)) {
    const why = 'the answer is a web page, not data: a login page of the network, or an error page'
    return { state: 'wrong', why }
  }
  if (/^(error|exception)\b/i.test(head))
    return { state: 'broken', why: `the answer is an error: “${firstLine(head)}”` }
  return null
}

const firstLine = (text: string): string => text.split('\n', 1)[0].slice(0, 120)

interface RowsForm {
  separator: string
  /** Whether a line stands before the rows: comments and the row of names. */
  isHead: (line: string) => boolean
  /** Lines before the rows that have as many cells as the rows. */
  isHeader: (line: string) => boolean
}

/**
 * An answer in rows that all have as many cells as the header, the last of them with its end of line.
 * @param form how comments and header are told from rows
 */
export function checkRows(bytes: Uint8Array, form: RowsForm): Verdict {
  const bad = notAnAnswer(bytes)
  if (bad) return bad
  const text = textOf(bytes)
  const lines = text.split(/\r?\n/)
  const header = lines.find(form.isHeader)
  if (header === undefined)
    return { state: 'wrong', why: `the answer has no header that is known: “${firstLine(text)}”` }
  const cells = (line: string): number => line.split(form.separator).length
  const rows = lines.filter((line) => line !== '' && !form.isHead(line) && line !== header)
  if (!text.endsWith('\n')) return { state: 'broken', why: 'the answer was cut off in its last line' }
  if (rows.length === 0) return { state: 'nothing', why: 'the answer has a header and no rows' }
  const short = rows.findIndex((row) => cells(row) < cells(header))
  if (short < 0) return WHOLE
  const why = `row ${short + 1} of the answer has ${cells(rows[short])} cells, its header ${cells(header)}`
  return { state: 'broken', why }
}

/** An answer in JSON; `rows` counts what it holds. */
export function checkJson(bytes: Uint8Array, rows: (value: unknown) => number): Verdict {
  const bad = notAnAnswer(bytes)
  if (bad) return bad
  let value: unknown
  try {
    value = JSON.parse(new TextDecoder('utf-8').decode(bytes))
  } catch {
    return { state: 'broken', why: 'the answer was cut off, or is no JSON' }
  }
  const reason = (value as { reason?: unknown; error?: unknown } | null)?.reason
  if (typeof reason === 'string') return { state: 'wrong', why: `the service says: “${reason.slice(0, 120)}”` }
  return rows(value) > 0 ? WHOLE : { state: 'nothing', why: 'the answer holds no rows' }
}

/** An answer in XML: whole where its root element is closed. */
export function checkXml(bytes: Uint8Array, rows: (text: string) => number): Verdict {
  const bad = notAnAnswer(bytes)
  if (bad) return bad
  const text = textOf(bytes)
  const root = /<([A-Za-z_][\w:.-]*)[\s>]/.exec(text.replace(/<\?[^>]*\?>|<!--[\s\S]*?-->/g, ''))?.[1]
  if (root === undefined) return { state: 'wrong', why: `the answer is no XML: “${firstLine(text)}”` }
  if (!text.trimEnd().endsWith(`</${root}>`)) return { state: 'broken', why: 'the answer was cut off' }
  if (/Exception/.test(root)) return { state: 'wrong', why: 'the service answered with an exception' }
  return rows(text) > 0 ? WHOLE : { state: 'nothing', why: 'the answer holds no observations' }
}

/** The end record of a zip file. @source PKWARE APPNOTE 6.3.10, 4.3.16 */
const ZIP_END = [0x50, 0x4b, 0x05, 0x06]
/** End record and the longest comment behind it. */
const ZIP_TAIL = 22 + 65_535

/** A zip file: whole where its end is there. */
export function checkZip(bytes: Uint8Array): Verdict {
  const bad = notAnAnswer(bytes)
  if (bad) return bad
  if (bytes[0] !== 0x50 || bytes[1] !== 0x4b) return { state: 'wrong', why: 'the answer is no zip file' }
  const from = Math.max(0, bytes.length - ZIP_TAIL)
  for (let i = bytes.length - 22; i >= from; i--) if (ZIP_END.every((byte, k) => bytes[i + k] === byte)) return WHOLE
  return { state: 'broken', why: 'the zip file was cut off' }
}

/** Any text that is not an error or a web page; lists and directories are judged when they are read. */
export function checkText(bytes: Uint8Array): Verdict {
  return notAnAnswer(bytes) ?? WHOLE
}

/** A page that may be HTML, as the directory of a server is. */
export const checkPage = (bytes: Uint8Array): Verdict =>
  bytes.length === 0 ? { state: 'broken', why: 'the answer is empty' } : WHOLE
