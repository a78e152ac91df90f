import { createHash } from 'node:crypto'

/** Where the report's files are served. */
export const REPORT_PATH = '/report/'

const STYLE = 'html,body{margin:0;height:100%}iframe{display:block;width:100%;height:100%;border:0}'

/**
 * The report lies in a frame, under its own policy; this reloads the frame when the server says that there is a new
 * report, and puts the reader back to where they were.
 */
const SCRIPT = `
const frame = document.querySelector('iframe')
let shown = document.body.dataset.report
frame.addEventListener('load', () => { document.title = frame.contentDocument?.title || 'ceteris' })
new EventSource('/events').addEventListener('report', ({ data }) => {
  if (data === shown) return
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
<iframe title="The report" src="${REPORT_PATH}index.html"></iframe>
<script>${SCRIPT}</script>
</body>
</html>
`

/** What the frame holds while there is no report. */
export const NO_REPORT = `<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><title>ceteris: no report yet</title></head>
<body><p>There is no report yet. It appears here as soon as the folder holds a track that can be used.</p></body>
</html>
`
