/** The matrix of pairs: verdicts are told by sign and hatch, colour comes on top. */
export const MATRIX_STYLE = `
.matrix { container-type: inline-size; margin: 1.25rem 0 .5rem; }
.grid { border-collapse: separate; border-spacing: 0; }
.grid :is(th, td) { padding: 0; border: 0; }
.grid thead th { text-align: center; vertical-align: bottom; font-size: .75rem; } .grid abbr { text-decoration: none; }
.grid tbody th { padding-right: .5rem; vertical-align: middle; overflow-wrap: anywhere; } .grid .setup th { padding: .35rem 0 .1rem; color: var(--soft); }
.grid .name { display: none; }
.grid td { min-width: 1.05rem; text-align: center; vertical-align: middle; font-weight: 600; line-height: 1.35; border: 0 solid var(--line); border-width: 0 1px 1px 0; }
/* Letters stand on a ground of their own: over the hatch they are hard to read. */
.grid .cell :is(.sign, .mean) { background: var(--paper); box-decoration-break: clone; }
.grid .cell .sign { padding: 0 .22em; } .grid .cell .mean { width: fit-content; margin-inline: auto; }
.grid .self { color: var(--soft); }
.grid .mean { display: none; }
.grid .new-day:is(td, th) { border-left: 1px solid var(--soft); } .grid .new-setup:is(td, th) { border-left: 2px solid var(--ink); }
.grid tr.new-day > * { border-top: 1px solid var(--soft); } .grid tr.new-setup > * { border-top: 2px solid var(--ink); }
.grid td.cell.aside { background: none; color: var(--soft); } .with-reference { display: block; font-weight: normal; font-size: .875rem; color: var(--soft); } .drive-list tr.chosen { background: var(--tint); }
.grid .cell a { display: block; text-decoration: none; }
.grid :is(a, td):focus-visible { outline: 3px solid var(--open); outline-offset: -1px; position: relative; z-index: 1; }
.grid .cell.comparable { background: color-mix(in srgb, var(--good) 26%, transparent); }
.grid .cell.adjustable { background: repeating-linear-gradient(45deg, color-mix(in srgb, var(--mend) 30%, transparent) 0 1.5px, transparent 1.5px 6px); }
.grid .cell.not-comparable { background: repeating-linear-gradient(45deg, color-mix(in srgb, var(--bad) 30%, transparent) 0 1px, transparent 1px 4px), repeating-linear-gradient(-45deg, color-mix(in srgb, var(--bad) 30%, transparent) 0 1px, transparent 1px 4px); }
.grid .cell.undecided { background: radial-gradient(color-mix(in srgb, var(--open) 45%, transparent) 1px, transparent 1.4px) 0 0 / 5px 5px; }
.grid .chosen > * { background-color: var(--tint); } .grid .chosen > th { font-weight: 700; }
.matrix-key { display: none; font-size: .8125rem; margin: .5rem 0; } .matrix-reading { min-height: 1.5em; font-size: .875rem; }
.wide-only { display: none; }
.margin-label input { width: min(20rem, 100%); vertical-align: middle; accent-color: var(--ink); } .margin-label output { display: inline-block; min-width: 1.8em; font-weight: 600; }
.at-other-margin { border-left: 4px solid var(--mend); padding-left: .6rem; }
[hidden] { display: none !important; }
@container (min-width: 30rem) { .grid td { min-width: 1.35rem; } .grid .name { display: inline; } }
.few .grid td { min-width: 1.9rem; line-height: 1.9; }
@container (min-width: 44rem) { :is(.few .grid, .blocks) td { min-width: 2.4rem; line-height: 1.5; } :is(.few .grid, .blocks) .mean { display: block; font-size: .6875rem; line-height: 1.1; font-weight: 500; padding: 0 .2rem; margin-bottom: .2rem; } }
@container (max-width: 43.99rem) { .blocks .name { display: none; } .blocks ~ .matrix-key { display: block; } }
@media (min-width: 46.01rem) { .wide-only { display: block; } .narrow-only { display: none; } }
@media print { .wide-only { display: block; } .narrow-only { display: none; } .grid { break-inside: avoid; } .grid .cell { print-color-adjust: exact; } }
`
