import { escaped } from '../markup.ts'

/** Where a reader of a page in a frame is, and what was chosen there. */
export interface ReaderPlace {
  /** Scrolled from the top, px. */
  top: number
  /** As in an address: "margin=3&clock=utc". */
  choices: string
}

export const AT_THE_TOP: ReaderPlace = { top: 0, choices: '' }

/** What a frame said, if it is a place; else the top. */
export function readerPlace(said: unknown): ReaderPlace {
  if (typeof said !== 'object' || said === null || !('top' in said) || !('choices' in said)) return AT_THE_TOP
  const { top, choices } = said
  return typeof top === 'number' && Number.isFinite(top) && typeof choices === 'string' ? { top, choices } : AT_THE_TOP
}

/** The page as it is shown in a frame: it begins at a place, and tells the frame's page of every other one. */
export const pageAt = (page: string, { top, choices }: ReaderPlace): string =>
  page.replace('<html lang="en">', `<html lang="en" data-top="${top}" data-choices="${escaped(choices)}">`)
