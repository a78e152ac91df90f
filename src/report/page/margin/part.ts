import type { Markup } from '../../markup.ts'

/** Parts of the page that depend on the margin, by their names: each is one element, which bears the name as `data-at-margin`. */
export type PartsAtMargin = Record<string, Markup>
