import { type Document, isMap, isScalar, type Pair, parseDocument, type YAMLMap } from 'yaml'

/** What a setting may hold: a value, a list of names, a section written in one line. */
type Stated = string | number | readonly string[] | Readonly<Record<string, string | number>>
/** undefined takes the key away. */
export type SettingValue = Stated | undefined

/**
 * The text of a campaign.yaml with one setting changed, or taken away. What else the user wrote stays letter for letter:
 * comments, order, blanks.
 * @param path the keys from the outermost section to the setting
 * @returns null where the text is not YAML with keys: that must be put right by hand first
 */
export function withSetting(text: string, path: readonly string[], value: SettingValue): string | null {
  const lineEnd = text.includes('\r\n') ? '\r\n' : '\n'
  const plain = text.replaceAll('\r\n', '\n')
  const document = parseDocument(plain, { prettyErrors: false })
  const isEmpty = document.contents === null || (isScalar(document.contents) && document.contents.value === null)
  if (document.errors.length > 0 || !(isEmpty || isMap(document.contents))) return null
  const changed = value === undefined ? without(plain, document, path) : put(plain, document, path, value)
  if (changed === null || !holds(changed, path, value)) return null
  return changed.replaceAll('\n', lineEnd)
}

/** Whether a text is YAML and says what was wanted. */
function holds(text: string, path: readonly string[], value: SettingValue): boolean {
  const document = parseDocument(text, { prettyErrors: false })
  if (document.errors.length > 0) return false
  const read: unknown = document.toJS()
  const own = path.reduce<unknown>((node, key) => (node as Record<string, unknown> | null | undefined)?.[key], read)
  return JSON.stringify(own) === JSON.stringify(value)
}

function put(text: string, document: Document, path: readonly string[], value: Stated) {
  let section: unknown = document.contents
  for (const [depth, key] of path.entries()) {
    if (!isMap(section) || section.items.length === 0 || section.flow) break
    const pair = pairOf(section, key)
    if (pair === undefined) return lineBehind(text, section, path.slice(depth), value)
    const isLast = depth === path.length - 1
    if (isLast) return withValue(text, pair, valueText(value))
    if (isNothing(pair.value)) return belowKey(text, section, pair, path.slice(depth + 1), value)
    section = pair.value
  }
  if (isMap(section) && section.flow) return inOneLine(text, document, section, path, value)
  if (document.contents === section) return `${endedLine(text)}${linesOf(path, value, '')}`
  return null
}

const pairOf = (section: YAMLMap, key: string): Pair | undefined =>
  section.items.findLast((item) => isScalar(item.key) && String(item.key.value) === key)

const isNothing = (node: unknown): boolean =>
  node === null || node === undefined || (isScalar(node) && node.value === null)

const rangeOf = (node: unknown): [from: number, to: number] => {
  const range = (node as { range?: [number, number, number] | null }).range ?? [0, 0, 0]
  return [range[0], range[1]]
}

/** A value as YAML writes it in one line. */
function valueText(value: Stated): string {
  const document = parseDocument('x: 1')
  const node = document.createNode(value)
  if (typeof value === 'object') Object.assign(node, { flow: true })
  document.set('x', node)
  const flowCollectionPadding = !Array.isArray(value)
  return document.toString({ lineWidth: 0, flowCollectionPadding }).slice('x: '.length).trimEnd()
}

/** `a:`, below it `b: value`, each deeper than the one before. */
function linesOf(path: readonly string[], value: Stated, indent: string): string {
  const lines = path.map((key, depth) => `${indent}${'  '.repeat(depth)}${valueText(key)}:`)
  return `${lines.join('\n')} ${valueText(value)}\n`
}

const endedLine = (text: string): string => (text === '' || text.endsWith('\n') ? text : `${text}\n`)

const lineStart = (text: string, at: number): number => text.lastIndexOf('\n', at - 1) + 1

/** Place behind the line that holds a place, its line end included. */
function lineBehindOf(text: string, at: number): number {
  const end = text.indexOf('\n', at)
  return end < 0 ? text.length : end + 1
}

function withValue(text: string, { key, value }: Pair, written: string): string {
  if (!isNothing(value) || rangeOf(value)[1] > rangeOf(value)[0]) {
    const [from, to] = rangeOf(value)
    // A value of several lines ends with the last line that holds something of it.
    const end = from + text.slice(from, to).trimEnd().length
    const isBelow = text.slice(lineStart(text, from), from).trim() === ''
    return isBelow
      ? `${text.slice(0, behindColon(text, key))} ${written}${text.slice(end)}`
      : text.slice(0, from) + written + text.slice(end)
  }
  const at = behindColon(text, key)
  return `${text.slice(0, at)} ${written}${text.slice(at)}`
}

const behindColon = (text: string, key: unknown): number => text.indexOf(':', rangeOf(key)[1]) + 1

/** The blanks before the keys of a section. */
function indentOf(text: string, section: YAMLMap): string {
  const [from] = rangeOf(section.items[0].key)
  return text.slice(lineStart(text, from), from)
}

/** A new key behind all that a section holds. */
function lineBehind(text: string, section: YAMLMap, path: readonly string[], value: Stated) {
  const last = section.items[section.items.length - 1]
  const [from, to] = isNothing(last.value) ? rangeOf(last.key) : rangeOf(last.value)
  const end = Math.max(from, to - (text.slice(from, to).length - text.slice(from, to).trimEnd().length))
  const at = lineBehindOf(text, end)
  return `${endedLine(text.slice(0, at))}${linesOf(path, value, indentOf(text, section))}${text.slice(at)}`
}

/** A first key of a section that holds nothing but comments. */
function belowKey(text: string, section: YAMLMap, { key }: Pair, path: readonly string[], value: Stated) {
  const at = lineBehindOf(text, behindColon(text, key))
  const indent = `${indentOf(text, section)}  `
  return `${endedLine(text.slice(0, at))}${linesOf(path, value, indent)}${text.slice(at)}`
}

/** A key of a section that is written in one line: that section is written anew. */
function inOneLine(text: string, document: Document, section: YAMLMap, path: readonly string[], value: Stated) {
  document.setIn(path, value)
  return rewritten(text, section)
}

function rewritten(text: string, section: YAMLMap): string {
  const [from, to] = rangeOf(section)
  const own = parseDocument('x: 1')
  // What is behind it in its line stays there.
  section.comment = null
  own.set('x', section)
  const flowCollectionPadding = /^\{\s/.test(text.slice(from, to))
  const written = own.toString({ lineWidth: 0, flowCollectionPadding }).slice('x: '.length).trimEnd()
  return text.slice(0, from) + written + text.slice(to)
}

function without(text: string, document: Document, path: readonly string[]): string | null {
  const section = path.length === 1 ? document.contents : document.getIn(path.slice(0, -1), true)
  const pair = isMap(section) ? pairOf(section, path[path.length - 1]) : undefined
  if (!isMap(section) || pair === undefined) return text
  if (section.flow) {
    section.delete(path[path.length - 1])
    return rewritten(text, section)
  }
  const [from] = rangeOf(pair.key)
  const [start, end] = isNothing(pair.value) ? rangeOf(pair.key) : rangeOf(pair.value)
  const last = start + text.slice(start, end).trimEnd().length
  return text.slice(0, lineStart(text, from)) + text.slice(lineBehindOf(text, Math.max(last, start)))
}
