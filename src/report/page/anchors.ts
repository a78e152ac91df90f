import { cleaned } from '../../base/names.ts'

/**
 * Where things stand on the page. Anchors are made of the drives' ids, not of their places in a list, so that a link
 * still leads there after another drive was added.
 */
export const driveAnchor = (id: string): string => `drive-${withoutSpaces(id)}`

/** The second drive of the pair, against the first. */
export const pairAnchor = (a: string, b: string): string => `pair-${withoutSpaces(b)}-against-${withoutSpaces(a)}`

/** An anchor as the end of an address. */
export const linkTo = (anchor: string): string => `#${encodeURIComponent(anchor)}`

const withoutSpaces = (id: string): string => cleaned(id).replace(/\s/g, '_')
