/** The first screen: three answers left, the claims on one axis right, the drives below; on a phone one column. */
export const ANSWER_STYLE = `
.answer { padding-left: 4.25rem; margin-top: .75rem; display: flex; flex-direction: column; justify-content: space-between; min-height: min(calc(100svh - 5.75rem), 52rem); }
.answer::before { background: var(--ink); } .answer::after { inset: 2px; }
.answer > .answers::before { content: ""; position: absolute; left: 1.35rem; top: calc(50% - .75rem); width: 1.5rem; height: 1.5rem; border: 2px solid var(--ink); border-radius: 50%; background: var(--ground); outline: 2px solid var(--line); outline-offset: 3px; }
.answers { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); gap: 0 2.5rem; flex: 1; }
.reply { grid-column: 1; align-self: center; } .reply + .reply, .reply-next { border-top: 1px solid var(--line); }
.reply { width: 100%; height: 100%; padding: .6rem 0; display: flex; flex-direction: column; justify-content: center; }
.reply h3 { margin: 0; font-size: 1.125rem; font-weight: 600; color: var(--soft); }
.reply .headline { font-size: clamp(1.5rem, 3.6svh, 2.125rem); line-height: 1.2; margin: .1rem 0 .15rem; }
.answer .note { font-size: 1.0625rem; line-height: 1.35; color: var(--soft); margin: 0; }
.reply .picture { display: block; max-width: 22rem; margin: .25rem 0 .1rem; overflow: visible; }
.claims-picture { grid-column: 2; grid-row: 1 / span 3; display: flex; flex-direction: column; justify-content: center; border-left: 1px solid var(--line); padding: 1rem .25rem 1rem 2.5rem; margin-left: -.5rem; }
.claims-picture .against-what { margin: 0; font-size: 1.125rem; font-weight: 600; color: var(--soft); }
.claims-picture ul { list-style: none; margin: 0; padding: 0; }
.claims-picture li { max-width: none; }
.claim-name { max-width: none; margin: 1rem 0 .2rem; line-height: 1.3; }
.claim-name strong, .reply .headline { text-wrap: balance; }
.claim-name strong { font-weight: 600; font-size: clamp(1.25rem, 3.2svh, 1.8125rem); display: block; }
.claims-picture .note { display: block; }
.claims-picture .scale p { display: flex; justify-content: space-between; max-width: none; margin: 0; font-weight: 600; }
.way-less { stroke: var(--less); fill: var(--less); } .way-more { stroke: var(--more); fill: var(--more); } .way-open { stroke: var(--soft); fill: var(--paper); }
[class^="way-"] line { stroke-width: 3; } [class^="way-"] circle { stroke-width: 2.5; } .reserved line { stroke-dasharray: 7 3; }
.frame { fill: none; stroke: var(--ink); stroke-width: 1.5; }
.use-as-measured { fill: var(--less); } .use-left-out { fill: none; }
.use-hatch { stroke: var(--less); stroke-width: 1.6; fill: none; }
.now { stroke: var(--soft); stroke-width: 1.5; } .after { stroke: var(--less); stroke-width: 3; }
.next-mark { fill: none; stroke: var(--less); stroke-width: 2.5; }
.tiles { list-style: none; margin: 1.1rem 0 0; padding: 0; display: grid; grid-template-columns: repeat(auto-fit, minmax(7rem, 1fr)); gap: .4rem; }
.tiles li { max-width: none; border: 1px solid var(--line); border-top: 4px solid var(--less); }
.tiles .corrected { border-top-style: double; } .tiles .left-out { border-top: 4px dotted var(--soft); color: var(--soft); } .tiles .not-judged { border-top: 4px dotted var(--soft); }
.tiles a { display: block; padding: .25rem .5rem .3rem; text-decoration: none; line-height: 1.25; }
.tiles a:hover { text-decoration: underline; }
.tiles strong { display: block; font-weight: 600; overflow-wrap: anywhere; } .tiles .why { font-size: .875rem; color: var(--soft); }
.tiles .sign { display: inline-block; min-width: 1.1em; font-weight: 600; }
/* Drives. */
.fuel-plot .scale p { display: flex; justify-content: space-between; max-width: none; margin: 0; font-weight: 600; }
.fuel-plot .fluid { padding: 0 1rem; max-width: 62rem; }
.fuel-plot .effect-name { margin: .6rem 0 .1rem; font-weight: 600; } .fuel-plot .note { font-weight: 500; color: var(--soft); }
.ring, .ring-hole, .dot { fill: none; stroke-linecap: round; } .ring { stroke: var(--ink); stroke-width: 11; } .ring-hole { stroke: var(--paper); stroke-width: 7.5; }
.ring.excluded { stroke: var(--line); } .dot { stroke: var(--less); stroke-width: 10; }
.mean-measured { stroke: var(--ink); stroke-width: 1.2; stroke-dasharray: 4 3; } .mean-corrected { stroke: var(--less); stroke-width: 2; }
.trend { fill: none; stroke: var(--more); stroke-width: 2; stroke-dasharray: 9 3; }
.drive-list .when, .drive-list .use { white-space: nowrap; } .drive-list .use { font-weight: 600; } .drive-list .left-out { color: var(--soft); }
.drive-list .reason { min-width: 16rem; } .drive-list th { font-weight: 600; } .drive-list tbody th { min-width: 9.5rem; } .drive-list .figure { white-space: nowrap; }
.drive-list tr:target, .drives-of summary { background: var(--tint); } summary { cursor: pointer; }
.drives-of summary { padding: .35rem .6rem; margin-top: .4rem; }
@media screen and (min-width: 75rem) {
  .reply h3, .claims-picture .against-what { font-size: 1.25rem; } .reply .headline { font-size: clamp(1.75rem, 3.8svh, 2.5rem); } .answer .note { font-size: 1.1875rem; }
  .reply .picture { max-width: 28rem; margin: .4rem 0; } .claim-name { font-size: 1.1875rem; } .claim-name strong { font-size: clamp(1.5rem, 3.3svh, 2.125rem); }
  .tiles strong { font-size: 1.1875rem; } .tiles .why { font-size: 1.0625rem; }
}
@media screen and (max-width: 52rem) {
  .scroll caption { max-width: calc(100vw - 4rem); }
  .answer { padding-left: .9rem; min-height: calc(100svh - 6.75rem); }
  .toolbar { margin-top: 2.5rem; }
  .answer > .answers::before { content: none; }
  .answers { grid-template-columns: minmax(0, 1fr); gap: 0; }
  .claims-picture { grid-column: 1; grid-row: auto; border: 0; padding: 0 .25rem .4rem; margin: 0; } .reply { padding: .3rem 0; }
  .reply .headline { font-size: 1.1875rem; margin: 0; }
  .reply h3, .answer .note, .claims-picture .against-what { font-size: .875rem; }
  .reply .picture { margin: .1rem 0; max-width: none; }
  .claim-name { margin: .35rem 0 0; } .claim-name strong { font-size: 1.0625rem; display: inline; }
  .tiles { grid-template-columns: repeat(auto-fit, minmax(4.75rem, 1fr)); gap: .25rem; margin-top: .6rem; }
  .tiles a { padding: .1rem .3rem .15rem; font-size: .875rem; } .tiles .why { font-size: .8125rem; }
}
@media (forced-colors: active) {
  .use-as-measured, .way-less, .way-more { fill: CanvasText; stroke: CanvasText; }
  .use-hatch, .way-open, .now, .after, .next-mark, .frame { stroke: CanvasText; }
}
@media print {
  .answer { padding-left: 0; min-height: 0; } .answer > .answers::before { content: none; }
  .answer { break-inside: avoid; }
  .use-as-measured, .use-corrected, [class^="way-"] { print-color-adjust: exact; }
}
`
