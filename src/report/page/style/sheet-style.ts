import { FONT_FAMILY } from '../../cards/marks.ts'
import { ANSWER_STYLE } from './answer-style.ts'
import { MATRIX_STYLE } from './matrix-style.ts'
import { PRINT_STYLE } from './print-style.ts'
import { DRAWING_STYLE } from './style.ts'

/** The page's colours in daylight: those of the cards' label, its ground and its ink. */
export const LIGHT_PALETTE =
  '--ground: #e3dfd3; --paper: #fbf9f3; --ink: #1d1e20; --soft: #55524a; --line: #cfcabd; --rule: #1d1e20; --tint: #f1ede2; --band: #dbe4df;'
/** The cards' typeface, and what stands in for the letters that it lacks. */
export const TYPEFACE = `'${FONT_FAMILY}', 'Arial Narrow', 'Liberation Sans Narrow', 'Helvetica Neue', Arial, 'Liberation Sans', sans-serif`

/**
 * All its colours, by day and by night. Less fuel is drawn in blue-green (--less), more in rust (--more), what nobody knows
 * in grey; each also has a sign or a word.
 */
export const PALETTE = `:root { color-scheme: light dark;
  ${LIGHT_PALETTE}
  --less: #0b5563; --more: #8a3216; --good: #0b5563; --mend: #6d4a00; --bad: #8a3216; --open: #4a4f8a; }
@media (prefers-color-scheme: dark) { :root {
  --ground: #101213; --paper: #1b1e20; --ink: #ebe8e0; --soft: #b0aca1; --line: #43464a; --rule: #b9b5aa; --tint: #24282b; --band: #2a3c41;
  --less: #7cc9d6; --more: #f0a283; --good: #7cc9d6; --mend: #e3b765; --bad: #f0a283; --open: #b0b6f2; } }`

/** The page's only style sheet. Its hash stands in the page's security policy: a test keeps the two in step. */
export const STYLE = `
${PALETTE}
:root { --notch: 1.1rem; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1.25rem 1.5rem 3rem; max-width: 79rem; background: var(--ground); color: var(--ink);
  font: 500 1.0625rem/1.45 ${TYPEFACE};
  overflow-wrap: break-word; }
h1, h2, h3, p, ul, ol, dl { margin: 0 0 .75rem; }
h1 { font-size: 1.6rem; line-height: 1.15; font-weight: 600; margin-bottom: .6rem; }
h2 { font-size: 1.25rem; line-height: 1.3; font-weight: 600; margin: 0 0 .9rem; }
h3 { font-size: 1rem; margin-top: 1.25rem; }
p, li { max-width: 44rem; }
/* Each section is a label of paper, two of its corners cut off. */
section { position: relative; isolation: isolate; padding: 1.4rem 1.75rem 1.1rem; margin-top: 1.25rem; scroll-margin-top: .75rem; }
section::before, section::after { content: ""; position: absolute; z-index: -1; inset: 0; background: var(--line);
  clip-path: polygon(var(--notch) 0, 100% 0, 100% 100%, var(--notch) 100%, 0 calc(100% - var(--notch)), 0 var(--notch)); }
section::after { inset: 1px; background: var(--paper); }
.toolbar { display: flex; flex-wrap: wrap; gap: .5rem 1.5rem; align-items: start; margin: 1rem 0 0; font-size: .9375rem; }
.toolbar nav { flex: 1 1 30rem; }
.toolbar nav ul { display: flex; flex-wrap: wrap; gap: .1rem 1.1rem; list-style: none; margin: .35rem 0 0; padding: 0; }
.kind { color: var(--soft); font-variant-caps: all-small-caps; letter-spacing: .06em; margin-bottom: .1rem; }
.facts { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(18rem, 100%), 1fr)); border: 1px solid var(--line); border-width: 1px 0 0 1px; }
.facts div { border: 1px solid var(--line); border-width: 0 1px 1px 0; padding: .4rem .7rem .5rem; }
.facts dt, .label { color: var(--soft); font-size: .8125rem; }
.facts dd { margin: 0; }
.headline { font-size: 1.3rem; line-height: 1.35; font-weight: 600; }
.steps { padding-left: 1.4rem; }
.scroll { overflow-x: auto; margin: 1.25rem 0; }
.scroll:focus-visible { outline: 2px solid var(--open); outline-offset: 3px; }
table { border-collapse: collapse; font-size: .875rem; line-height: 1.4; font-variant-numeric: tabular-nums lining-nums; }
caption { text-align: left; color: var(--soft); font-size: .875rem; padding-bottom: .45rem; }
th, td { text-align: left; vertical-align: top; padding: .3rem .75rem .3rem 0; border-bottom: 1px solid var(--line); font-weight: normal; }
thead th, thead td { border-bottom: 1px solid var(--rule); vertical-align: bottom; font-weight: 600; }
th:last-child, td:last-child { padding-right: 0; }
.figure { text-align: right; padding-left: .75rem; }
.wide { width: 100%; }
.number { display: inline-block; min-width: 1.35em; padding: 0 .25em; text-align: center; border: 1px solid var(--soft); font-size: .75rem; line-height: 1.35; font-weight: 600; }
.run { display: inline-block; max-width: 100%; }
.unit, .against, .hint { color: var(--soft); }
.unit { font-size: .8125rem; white-space: nowrap; }
.file { font-family: ui-monospace, "DejaVu Sans Mono", "Liberation Mono", Menlo, Consolas, monospace; font-size: .75rem; overflow-wrap: anywhere; }
th.file, td.file { min-width: 7rem; }
.hash { max-width: 22rem; }
.hidden { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
.verdict { white-space: nowrap; font-weight: 600; }
.comparable, .within { color: var(--good); }
.adjustable, .warning { color: var(--mend); }
.not-comparable, .outside, .error { color: var(--bad); }
.unknown { color: var(--open); }
.legend { display: grid; grid-template-columns: max-content 1fr; gap: .1rem 1rem; font-size: .875rem; }
.legend div { display: contents; }
.pairs { width: 100%; margin: 1.25rem 0; }
.pairs .glyph { margin-top: .05rem; }
.pairs .figure { white-space: nowrap; }
.pairs thead .figure { white-space: normal; }
.pairs tbody:nth-of-type(even) { background: var(--tint); }
.pairs tbody tr:first-child th, .pairs tbody tr:first-child td { border-bottom: 0; padding-top: .6rem; }
.pairs tbody th { font-weight: 600; overflow-wrap: anywhere; }
.pairs thead th:first-child { width: 18.5rem; }
.pairs .label { display: none; }
.pairs .why td { padding-top: 0; padding-bottom: .7rem; }
.remarks { margin: .2rem 0 0; padding-left: 1.1rem; color: var(--soft); }
.glyph { display: block; overflow: visible; }
.band { fill: var(--band); }
.axis { stroke: var(--line); stroke-width: 1; fill: none; }
.zero { stroke: var(--soft); stroke-width: 1; }
.bar { stroke: var(--ink); stroke-width: 1.6; }
.mean, .arrow { fill: var(--ink); }
.none { fill: var(--soft); font-size: 12px; }
.sketches { display: flex; flex-wrap: wrap; gap: 1rem 2rem; margin: .5rem 0 1.25rem; }
.sketch { margin: 0; break-inside: avoid; }
.sketch figcaption, .sketch text { color: var(--soft); fill: var(--soft); font-size: 12px; }
.road { fill: none; stroke: var(--ink); stroke-width: 1.6; stroke-linejoin: round; }
.start, .heading { fill: var(--ink); }
.limits tbody th { min-width: 9.5rem; position: sticky; left: 0; background: var(--paper); }
.limits .unit { white-space: normal; font-weight: 500; }
.limits :is(td, thead th) { min-width: 7.4rem; }
.shares tbody th { min-width: 9rem; }
.conditions thead th:first-child, .conditions tbody tr:not(.group) th { position: sticky; left: 0; background: var(--paper); }
.conditions td { min-width: 8.7rem; max-width: 14rem; overflow-wrap: anywhere; }
.group th { padding-top: .8rem; font-weight: 600; border-bottom-color: var(--rule); }
footer { margin-top: 1.25rem; color: var(--soft); font-size: .875rem; }
@media (min-width: 46.01rem) {
  .pairs :is(th, td):first-child { padding-left: .5rem; }
  .pairs :is(th, td):last-child { padding-right: .5rem; }
}
@media screen and (max-width: 46rem) {
  body { padding: .75rem .75rem 3rem; --notch: .75rem; }
  section { padding: 1rem .9rem .75rem; }
  h1 { font-size: 1.3rem; }
  .legend { grid-template-columns: 1fr; gap: 0; }
  .legend div > span:last-child { padding: 0 0 .4rem 1.2rem; color: var(--soft); }
  .pairs, .pairs > caption, .pairs > tbody { display: block; }
  .pairs > thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .pairs > tbody { border-bottom: 1px solid var(--line); padding: .5rem .75rem .6rem; }
  .pairs > tbody > tr { display: grid; grid-template-columns: 1fr 1fr; gap: .35rem 1rem; }
  .pairs > tbody > tr > :is(th, td):is(th, td) { border: 0; padding: 0; text-align: left; }
  .pairs > tbody > tr > th, .pairs > tbody > .why > td, .pairs > tbody > tr:first-child > td:nth-child(-n+3) { grid-column: 1 / -1; }
  .pairs .label { display: block; white-space: normal; }
  .pairs .why { margin-top: .4rem; }
}
@media (forced-colors: active) {
  section { border: 1px solid CanvasText; }
  section::before, section::after { content: none; }
}
${DRAWING_STYLE}${ANSWER_STYLE}${MATRIX_STYLE}${PRINT_STYLE}`
