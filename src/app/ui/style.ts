import { facesFor, pageTypefaces } from '../../report/page/style/face.ts'
import { PALETTE, TYPEFACE } from '../../report/page/style/sheet-style.ts'

/** Letters of western European names; others are shown in the browser's own face. */
const LATIN = Array.from({ length: 96 }, (_, i) => String.fromCharCode(0xa0 + i)).join('')

/** The page's style sheet: the report's face, around it what is touched and typed into. */
export const PAGE_STYLE = `${facesFor(LATIN, pageTypefaces())}
${PALETTE}
* { box-sizing: border-box; }
html, body, #app { height: 100%; }
body { margin: 0; background: var(--ground); color: var(--ink); font: 500 1.0625rem/1.45 ${TYPEFACE}; overflow-wrap: break-word; }
h1, h2, h3, p, ul { margin: 0 0 .75rem; }
h1 { font-size: 1.3rem; line-height: 1.15; font-weight: 600; margin: 0; }
h2 { font-size: 1.25rem; line-height: 1.3; font-weight: 600; }
h3 { font-size: 1rem; margin-top: 1rem; }
p, li { max-width: 44rem; }
code { font-size: .875em; }
.small, .hint { color: var(--soft); font-size: .875rem; }
.lead { font-size: 1.2rem; line-height: 1.35; }
.plain { list-style: none; margin: 0; padding: 0; }
.hidden { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
.file { font-family: ui-monospace, "DejaVu Sans Mono", "Liberation Mono", Menlo, Consolas, monospace; font-size: .8125rem; overflow-wrap: anywhere; }
.error { color: var(--bad); } .warning { color: var(--mend); } .note { color: var(--soft); }
.number { display: inline-block; min-width: 1.5em; padding: 0 .3em; text-align: center; border: 1px solid var(--soft); font-size: .8125rem; font-weight: 600; }

button, .button, input, select, textarea { font: inherit; color: inherit; border: 1px solid var(--soft); border-radius: 0; min-height: 44px; }
button, .button { background: var(--tint); padding: .35rem .9rem; cursor: pointer; display: inline-flex; align-items: center; justify-content: center; text-align: left; }
.large { min-height: 52px; font-weight: 600; }
.quiet { background: none; border-color: var(--line); font-weight: 500; }
button:disabled { color: var(--soft); border-color: var(--line); background: none; cursor: default; }
input, select, textarea { background: var(--paper); padding: .3rem .5rem; max-width: 100%; }
input[type=range] { padding: 0; width: 100%; accent-color: var(--ink); }
[aria-invalid=true] { border: 2px solid var(--bad); }
:is(button, input, select, textarea, summary, .scroll, iframe):focus-visible, .button:focus-within { outline: 3px solid var(--open); outline-offset: 1px; }
summary { cursor: pointer; min-height: 44px; display: flex; align-items: center; text-decoration: underline; text-underline-offset: .2em; text-decoration-style: dotted; }

.page { display: grid; height: 100%; grid-template: auto 1fr auto / minmax(0, 1fr); grid-template-areas: "head" "main" "tabs"; }
.page > header { grid-area: head; display: flex; flex-wrap: wrap; gap: .25rem .75rem; align-items: center; padding: .4rem .75rem; border-bottom: 1px solid var(--line); }
.page > header h1 { margin-right: auto; }
.page > main { outline: 0; grid-area: main; overflow: auto; padding: .75rem; position: relative; }
.page > .answer { grid-area: main; display: none; }
.page > nav { grid-area: tabs; display: flex; border-top: 1px solid var(--line); background: var(--paper); }
.tab { flex: 1 1 0; min-width: 0; min-height: 52px; padding: 0; border: 0; background: none; font-size: .9375rem; border-top: 3px solid transparent; }
.tab[aria-current] { border-top-color: var(--ink); font-weight: 700; background: var(--tint); }
.view-report > main { display: none; }
.view-report > .answer, .page > .answer:only-child { display: block; }
.page > .answer { overflow: hidden; }
.report { display: block; width: 100%; height: 100%; border: 0; background: var(--ground); }
.stale { opacity: .6; }
.undo, .work { display: flex; gap: .4rem; align-items: center; }
.work { flex-wrap: wrap; }
.work p, .work label { margin: 0; font-size: .9375rem; }
progress { width: 7rem; margin-left: .5rem; accent-color: var(--ink); vertical-align: middle; }
.notice { flex-basis: 100%; margin: 0; font-size: .9375rem; color: var(--soft); }
.notice:empty { display: none; }
.answer-lines { border-left: 4px solid var(--ink); padding: .1rem .75rem; margin: 0 0 1rem; }
.answer-lines dt { color: var(--soft); font-size: .875rem; } .answer-lines dd { margin: 0 0 .2rem; font-weight: 600; }
.page section > h2 { margin-top: .25rem; }
footer { margin-top: 2rem; font-size: .875rem; color: var(--soft); }

.drop { border: 2px dashed var(--soft); background: var(--paper); padding: 1rem; margin: 1rem 0; max-width: 44rem; }
.drop.over { border-style: solid; border-color: var(--ink); background: var(--tint); }
.drop p { margin: .5rem 0 0; }
.buttons { display: flex; flex-wrap: wrap; gap: .6rem; }
.promise { font-size: .9375rem; }
.files { list-style: none; padding: 0; }
.files > li { border-top: 1px solid var(--line); padding: .35rem 0; }
.file-row { display: flex; gap: .25rem .75rem; align-items: center; }
.file-row .file { flex: 1; }
.kind { flex: 0 0 7.5rem; font-size: .9375rem; color: var(--soft); }
.problems { font-size: .9375rem; margin: .25rem 0 .5rem; }
.problems li { margin: .2rem 0; } .problems .hint { display: block; }

.recording-card { border-top: 1px solid var(--line); padding-top: .25rem; margin-bottom: 1.25rem; max-width: 60rem; }
.recording-card h3 { margin: .25rem 0 0; }
.day-strip { display: flex; height: 34px; border: 1px solid var(--ink); background: var(--paper); margin: .35rem 0; }
.stretch { height: 100%; min-width: 0; border-right: 1px solid var(--ink); } .stretch:last-child { border: 0; }
.stretch-drive { background: var(--less); cursor: pointer; } .stretch-drive.chosen { background: var(--more); }
.stretch-other { background: repeating-linear-gradient(135deg, var(--tint) 0 5px, var(--line) 5px 7px); }
.stretch-stop { background: var(--band); }
.drive-list { display: flex; flex-wrap: wrap; gap: .4rem; }
.drive-button { gap: .4rem; flex-wrap: wrap; } .excluded { flex-basis: 100%; font-size: .875rem; color: var(--bad); }
.drive-button[aria-expanded=true] { border: 2px solid var(--ink); font-weight: 600; }
.drive-editor { display: grid; gap: .75rem; grid-template-columns: repeat(auto-fit, minmax(min(17rem, 100%), 1fr)); margin: .6rem 0; padding: .75rem; background: var(--paper); border: 1px solid var(--line); }
.drive-actions { border: 0; margin: 0; padding: 0; min-width: 0; display: grid; gap: .75rem; align-content: start; }
.drive-actions label { display: block; } .split { display: flex; flex-wrap: wrap; gap: .4rem; } .split label { flex-basis: 100%; }
.drive-actions input:not([type=range]) { width: 100%; }
.drive-actions form { display: grid; gap: .4rem; justify-items: start; } .drive-actions form label { width: 100%; }
.course-map { width: 100%; height: auto; max-height: 20rem; }
.course { fill: none; stroke: var(--line); stroke-width: 2; stroke-linejoin: round; } .course.driven { stroke: var(--less); } .course.chosen { stroke: var(--more); stroke-width: 3.5; }
.start { fill: var(--ink); } .mark { fill: var(--paper); stroke: var(--ink); stroke-width: 3; } .axis { fill: none; stroke: var(--soft); } .course-map text { fill: var(--soft); font-size: 13px; }

.scroll { overflow-x: auto; }
.drives-table { border-collapse: collapse; }
.drives-table th { text-align: left; font-size: .875rem; padding: .2rem .4rem; border-bottom: 1px solid var(--rule); vertical-align: bottom; max-width: 7rem; }
.drives-table td { padding: 1px; vertical-align: middle; }
.drives-table td.track { padding: .2rem .6rem .2rem .2rem; min-width: 11rem; max-width: 15rem; position: sticky; left: 0; background: var(--ground); }
.drives-table input { width: 6.5rem; background: var(--paper); border-color: var(--line); } .drives-table [aria-invalid=true] { border-color: var(--bad); }
.cell-name { display: none; }
td.note input { width: 14rem; }
.inline { display: flex; flex-wrap: wrap; gap: .4rem; align-items: end; margin: .75rem 0; }
.fields { border: 0; border-top: 1px solid var(--line); margin: 0 0 1rem; padding: .5rem 0 0; display: grid; gap: .5rem 1rem; grid-template-columns: repeat(auto-fill, minmax(min(16rem, 100%), 1fr)); align-items: start; min-width: 0; }
.fields > p, .fields > legend, .fields > .place, .fields > form, .fields > details { grid-column: 1 / -1; }
.place { border: 1px solid var(--line); display: grid; gap: .5rem 1rem; grid-template-columns: repeat(auto-fill, minmax(min(13rem, 100%), 1fr)); align-items: end; margin: 0; min-width: 0; }
legend { font-weight: 600; padding: 0 .4rem 0 0; }
.field label { display: block; font-size: .9375rem; }
.field input, .field select { width: 100%; }
.field .small { margin: .15rem 0 0; }
.whole-text textarea { width: 100%; font: .8125rem/1.4 ui-monospace, "DejaVu Sans Mono", Menlo, Consolas, monospace; }
.save-list { display: grid; gap: .6rem; }
.save-list li { display: grid; gap: .2rem .9rem; grid-template-columns: minmax(12rem, auto) 1fr; align-items: center; max-width: none; }
.clearing { border-top: 1px solid var(--line); margin-top: 1.5rem; }

@media (max-width: 45.99rem) {
  .file-row { display: grid; grid-template: "kind remove" auto "file remove" auto / 1fr auto; gap: 0 .5rem; }
  .file-row button { grid-area: remove; }
  .save-list li { grid-template-columns: 1fr; }
  .buttons > * { flex: 1 1 100%; }
  .drives-table, .drives-table tbody, .drives-table tr, .drives-table td { display: block; }
  .drives-table thead { display: none; }
  .drives-table tr { border-top: 1px solid var(--rule); padding: .5rem 0; }
  .drives-table tr:not(.row-problems) { display: grid; grid-template-columns: 1fr 1fr; gap: .25rem .6rem; }
  .drives-table td.track { grid-column: 1 / -1; max-width: none; position: static; }
  .drives-table td.note { grid-column: 1 / -1; }
  .drives-table input { width: 100%; }
  .cell-name { display: block; font-size: .875rem; color: var(--soft); }
}
@media (max-width: 45.99rem), (max-height: 30rem) { .page > header { padding: .2rem .6rem; } }
@media (min-width: 72rem) {
  .page:not(.empty) { grid-template: auto auto 1fr / minmax(30rem, 5fr) 7fr; grid-template-areas: "head answer" "tabs answer" "main answer"; }
  .page:not(.empty) > .answer { grid-area: answer; display: block; border-left: 1px solid var(--line); }
  .page > nav { border-top: 0; border-bottom: 1px solid var(--line); } .tab { min-height: 44px; } .tab-report { display: none; }
  .view-report > main { display: block; } .answer-lines { display: none; }
}
@media (min-width: 46rem) and (max-width: 71.99rem) { .page { grid-template: auto auto 1fr / minmax(0, 1fr); grid-template-areas: "head" "tabs" "main"; } }
.empty > main { max-width: 50rem; margin: 0 auto; width: 100%; }
@media (forced-colors: active) { .stretch-drive { background: Highlight; forced-color-adjust: none; } .stretch-drive.chosen { background: LinkText; } }
@media (prefers-reduced-motion: no-preference) { .drop { transition: background .15s; } }
`
