import {
  type Document,
  isAlias,
  isMap,
  isNode,
  isScalar,
  isSeq,
  LineCounter,
  type Node,
  type Pair,
  parseDocument,
  visit,
} from 'yaml'
import type { Outcome, Problem } from '../../base/problem.ts'
import { failed, found } from '../../base/problem.ts'

/** 1-based. */
export interface TextPlace {
  line: number
  column: number
}

export interface YamlDocument {
  /** Plain objects, lists and scalars; null for an empty file. */
  value: unknown
  /** Where the value at a path stands; where it has no text of its own, its key; for what is missing, what surrounds it. */
  placeOfValue: (path: readonly PropertyKey[]) => TextPlace
  /** Where the key at the end of a path stands. */
  placeOfKey: (path: readonly PropertyKey[]) => TextPlace
}

/** Settings are small; more than this is another kind of file. */
const MAX_LENGTH = 200_000
/** The YAML library recurses, and very deep nesting ends the process: refuse it beforehand. */
const MAX_DEPTH = 64
/** How often an anchor may be expanded in all (a list of lists of aliases grows exponentially). */
const MAX_ALIASES = 100

/** Reads one YAML 1.2 document; what cannot be read is reported with line and column, everything at once. */
export function readYaml(text: string): Outcome<YamlDocument> {
  const plain = text.replace(/^\uFEFF/, '')
  const tooMuch = sizeProblem(plain)
  if (tooMuch) return failed(tooMuch)
  const lines = new LineCounter()
  const document = parseDocument(plain, {
    lineCounter: lines,
    prettyErrors: false,
    // The library compares each key with every other; `repeatedKeys` looks each up once.
    uniqueKeys: false,
    logLevel: 'error',
  })
  const at = (offset: number): TextPlace => {
    const { line, col } = lines.linePos(offset)
    return { line: Math.max(1, line), column: Math.max(1, col) }
  }
  const faults = [
    ...document.errors.map(({ code, message, pos }) => ({ code: code as string, message, offset: pos[0] })),
    ...repeatedKeys(document).map((offset) => ({ code: 'DUPLICATE_KEY', message: '', offset })),
  ].sort((a, b) => a.offset - b.offset)
  const problems = faults.map(({ code, message, offset }) => parserProblem(code, message, at(offset)))
  if (problems.some((problem) => ['yaml-syntax', 'yaml-too-deep'].includes(problem.code)))
    return { value: null, problems }
  const expanded = plainValue(document, at)
  if (expanded.value === null) return { value: null, problems: [...problems, ...expanded.problems] }
  const finder = (wanted: 'key' | 'value') => (path: readonly PropertyKey[]) => at(offsetOf(document, path, wanted))
  return found({ value: expanded.value.content, placeOfValue: finder('value'), placeOfKey: finder('key') }, problems)
}

/** Where a key stands that its section has already, as offsets: keys are the same when their values are. */
function repeatedKeys(document: Document): number[] {
  const offsets: number[] = []
  visit(document, {
    Map(_, { items }) {
      const seen = new Set<unknown>()
      for (const { key } of items) {
        if (!isScalar(key)) continue
        if (seen.has(key.value)) offsets.push(key.range?.[0] ?? 0)
        seen.add(key.value)
      }
    },
  })
  return offsets
}

const tooDeep = {
  code: 'yaml-too-deep',
  message: `found values nested more than ${MAX_DEPTH} deep, expected at most four levels`,
}

function sizeProblem(text: string): Omit<Problem, 'severity'> | null {
  if (text.length > MAX_LENGTH) {
    return {
      code: 'yaml-too-large',
      message: `found ${text.length} characters, expected at most ${MAX_LENGTH}`,
      line: 1,
      column: 1,
    }
  }
  let depth = 0
  const indents: number[] = []
  for (const [index, line] of text.split('\n').entries()) {
    const indent = line.search(/\S/)
    if (indent < 0) continue
    while ((indents.at(-1) ?? -1) >= indent) indents.pop()
    indents.push(indent)
    const indicators = /^[\s?:-]*/.exec(line)?.[0].replace(/\s/g, '').length ?? 0
    for (const character of line) {
      if (character === '[' || character === '{') depth++
      else if (character === ']' || character === '}') depth--
      if (indents.length - 1 + depth + indicators <= MAX_DEPTH) continue
      return { ...tooDeep, line: index + 1, column: 1 }
    }
  }
  return null
}

function parserProblem(code: string, message: string, place: TextPlace): Problem {
  // The library's own limit: how deep it can follow hangs on the engine.
  if (code === 'RESOURCE_EXHAUSTION') return { ...tooDeep, severity: 'error', ...place }
  if (code === 'DUPLICATE_KEY') {
    const found = 'this key stands twice in one section; the last one is used'
    return { code: 'yaml-duplicate-key', severity: 'error', message: found, ...place }
  }
  if (code === 'MULTIPLE_DOCS') {
    const found = 'a second document begins here (a line "---"); only the first one is used'
    return { code: 'yaml-second-document', severity: 'error', message: found, ...place }
  }
  const sentence = message.charAt(0).toLowerCase() + message.slice(1)
  const hint = 'Indent with spaces, put a space after each colon, and put texts with special signs in quotation marks.'
  return { code: 'yaml-syntax', severity: 'error', message: `this is not YAML: ${sentence}`, ...place, hint }
}

function plainValue(document: Document, at: (offset: number) => TextPlace): Outcome<{ content: unknown }> {
  try {
    return found({ content: document.toJS({ maxAliasCount: MAX_ALIASES }) })
  } catch (error) {
    if (!(error instanceof ReferenceError)) throw error
    const unresolved = error.message.startsWith('Unresolved')
    return failed({
      code: 'yaml-alias',
      message: unresolved
        ? 'an alias (*name) stands here and no anchor (&name) of that name before it'
        : `aliases (*name) expand to more than ${MAX_ALIASES} copies; expected each value written out`,
      ...at(aliasOffset(document, unresolved)),
    })
  }
}

/** The first alias, or the first one without an anchor. */
function aliasOffset(document: Document, unresolved: boolean): number {
  let offset = 0
  visit(document, {
    Alias(_, alias) {
      if (unresolved && alias.resolve(document)) return undefined
      offset = alias.range?.[0] ?? 0
      return visit.BREAK
    },
  })
  return offset
}

function offsetOf(document: Document, path: readonly PropertyKey[], wanted: 'key' | 'value'): number {
  let node: Node | null | undefined = isNode(document.contents) ? document.contents : null
  let key: Node | null = null
  for (const step of path) {
    if (isAlias(node)) node = node.resolve(document)
    if (isMap(node)) {
      const pair: Pair | undefined = node.items.findLast(
        (item) => isScalar(item.key) && String(item.key.value) === String(step),
      )
      if (!pair) break
      key = isNode(pair.key) ? pair.key : null
      node = isNode(pair.value) ? pair.value : null
    } else if (isSeq(node)) {
      const item: unknown = node.items[Number(step)]
      if (!isNode(item)) break
      key = item
      node = item
    } else break
  }
  const empty = !node?.range || (isScalar(node) && node.source === '')
  return (wanted === 'key' || empty ? key?.range?.[0] : node?.range?.[0]) ?? node?.range?.[0] ?? 0
}
