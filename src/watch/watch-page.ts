import { createHash } from 'node:crypto'
import { PALETTE, TYPEFACE } from '../report/page/style/sheet-style.ts'

/** Where the report's files are served. */
export const REPORT_PATH = '/report/'

const STYLE = `${PALETTE}
html, body { margin: 0; height: 100%; } body { display: flex; flex-direction: column; background: var(--ground); color: var(--ink); font: 500 .9375rem/1.4 ${TYPEFACE}; }
.state { margin: 0; padding: .3rem 1.5rem; background: var(--paper); border-bottom: 1px solid var(--line); }
.state.ended { background: var(--ink); color: var(--paper); }
iframe { display: block; flex: 1; width: 100%; border: 0; }`

/** The label of the report, alone on its ground. */
const EMPTY_STYLE = `${PALETTE}
body { margin: 0; padding: 1.25rem 1.5rem; background: var(--ground); color: var(--ink); font: 500 1.0625rem/1.45 ${TYPEFACE}; }
main { max-width: 44rem; padding: 1.1rem 1.75rem; background: var(--paper); clip-path: polygon(1.1rem 0, 100% 0, 100% 100%, 1.1rem 100%, 0 calc(100% - 1.1rem), 0 1.1rem); }
h1 { margin: 0 0 .4rem; font-size: 1.3rem; font-weight: 600; } p { margin: 0; }
@media (forced-colors: active) { main { clip-path: none; border: 1px solid CanvasText; } }`

const KEPT_UP = 'This report changes here as files arrive.'

/**
 * The report lies in a frame, under its own policy; this reloads the frame when the server says that there is a new
 * report, and puts the reader back to where they were.
 */
const SCRIPT = `
const frame = document.querySelector('iframe')
let shown = document.body.dataset.report
frame.addEventListener('load', () => { document.title = frame.contentDocument?.title || 'ceteris' })
const state = document.querySelector('.state')
const events = new EventSource('/events')
events.addEventListener('open', () => {
  state.classList.remove('ended')
  state.textContent = '${KEPT_UP}'
})
events.addEventListener('error', () => {
  state.classList.add('ended')
  state.textContent = 'The watch has ended or cannot be reached: this report is no longer kept up to date.'
})
events.addEventListener('report', ({ data }) => {
  if (data === shown) return
  state.textContent = 'Report made anew at ' + new Date().toLocaleTimeString() + '; it changes here as files arrive.'
  shown = data
  const top = frame.contentWindow.scrollY
  frame.addEventListener('load', () => frame.contentWindow.scrollTo(0, top), { once: true })
  frame.contentWindow.location.reload()
})
`

const hashOf = (text: string): string => `'sha256-${createHash('sha256').update(text).digest('base64')}'`

/** Nothing but this page's own style, script, frame and event stream. */
export const PAGE_POLICY = `default-src 'none'; style-src ${hashOf(STYLE)}; script-src ${hashOf(SCRIPT)}; connect-src 'self'; frame-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'`

/**
 * The page at the address: a frame around the report.
 * @param made number of the report that the frame shows
 */
export const watchPage = (made: number): string => `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>ceteris</title>
<style>${STYLE}</style>
</head>
<body data-report="${made}">
<p class="state" role="status">${KEPT_UP}</p>
<iframe title="The report" src="${REPORT_PATH}index.html"></iframe>
<script>${SCRIPT}</script>
</body>
</html>
`

/** What the frame holds while there is no report. */
export const NO_REPORT = `<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta name="color-scheme" content="light dark"><meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src ${hashOf(EMPTY_STYLE)}"><title>ceteris: no report yet</title><style>${EMPTY_STYLE}</style></head>
<body><main><h1>No report yet</h1><p>There is no report yet. It appears here as soon as the folder holds a track that can be used.</p></main></body>
</html>
`
