import bundle from './script-page.ts?bundle'

/** The page's only script; its hash stands in the page's security policy. */
export const SCRIPT = bundle
