import type { SaxesTagPlain } from 'saxes'

/** One element's namespace declarations in force, on top of those of the elements around it. */
interface Scope {
  tag: SaxesTagPlain | null
  outer: Scope | null
  /** Prefix (empty for the default namespace) → URI. */
  bindings: Map<string, string>
  /** Element name as written → its local name, or '' where it is not of GPX. */
  known: Map<string, string>
}

/** Tells GPX elements from those of other vocabularies, whatever prefix the file gives them. */
export interface Namespaces {
  scope: Scope
  /** The namespace of the root element, however odd: what carries it is GPX. */
  rootUri: string | null
}

const GPX_URI = /^https?:\/\/(www\.)?topografix\.com\/gpx\/\d+\/\d+\/?$/i

export function noNamespaces(): Namespaces {
  return { scope: { tag: null, outer: null, bindings: new Map(), known: new Map() }, rootUri: null }
}

/**
 * The local name of an element of GPX; '' for any other. An element is of GPX when its namespace is that of GPX 1.0 or
 * 1.1, that of the root element, or none. To be called for every element that is not inside a foreign one.
 */
export function gpxName(namespaces: Namespaces, tag: SaxesTagPlain): string {
  declare(namespaces, tag)
  const { scope } = namespaces
  const known = scope.known.get(tag.name)
  if (known !== undefined) return known
  const colon = tag.name.indexOf(':')
  const uri = uriOf(scope, colon < 0 ? '' : tag.name.slice(0, colon))
  namespaces.rootUri ??= uri
  const isGpx = uri === '' || uri === namespaces.rootUri || GPX_URI.test(uri)
  const local = isGpx ? tag.name.slice(colon + 1) : ''
  scope.known.set(tag.name, local)
  return local
}

/** Whether elements written with these names, without a prefix and declarations of their own, would be of GPX here. */
export function plainNamesAreGpx({ scope, rootUri }: Namespaces): boolean {
  const uri = uriOf(scope, '')
  return uri === '' || uri === rootUri || GPX_URI.test(uri)
}

/** To be called when an element ends: its declarations end with it. */
export function leave(namespaces: Namespaces, tag: SaxesTagPlain): void {
  const { scope } = namespaces
  if (scope.tag === tag && scope.outer !== null) namespaces.scope = scope.outer
}

function declare(namespaces: Namespaces, tag: SaxesTagPlain): void {
  let bindings: Map<string, string> | null = null
  for (const name in tag.attributes) {
    if (name !== 'xmlns' && !name.startsWith('xmlns:')) continue
    bindings ??= new Map(namespaces.scope.bindings)
    bindings.set(name.slice(6), tag.attributes[name].trim())
  }
  if (bindings !== null) namespaces.scope = { tag, outer: namespaces.scope, bindings, known: new Map() }
}

/** An undeclared prefix stands for itself, so that a file without declarations can still be read. */
function uriOf(scope: Scope, prefix: string): string {
  return scope.bindings.get(prefix) ?? (prefix === '' ? '' : `undeclared:${prefix}`)
}
