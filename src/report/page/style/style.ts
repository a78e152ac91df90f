import { MOST_PLACES } from '../road/plotted-runs.ts'

const places = Array.from({ length: MOST_PLACES }, (_, place) => place)
/** A drive that is not chosen is not drawn; the style sheet alone does it, so that it works without script. */
const CHOICE = places.map((p) => `.road-along:has(.pick${p}:not(:checked)) .run${p}`).join(', ')

/** What the claims, the drawings and the controls add to the style sheet. */
export const DRAWING_STYLE = `
:root { --l1: #1b5a9a; --l2: #a8471a; --l3: #1c6b4a; --l4: #7a3b86; --l5: #7d6200;
  --shade: #b9cfc2; --cool2: #155a8a; --cool1: #3a86b4; --calm: #7b7f78; --warm1: #bf6a1e; --warm2: #a32a14; --ground1: #cdd8e4; --ground2: #e6dcc6; --ground3: #d6e2d3; --ground4: #e5d3d8; }
@media (prefers-color-scheme: dark) { :root { --l1: #82b7ee; --l2: #f0a178; --l3: #7fd1a4; --l4: #d3a3e0; --l5: #d9c065;
  --shade: #3f5a4c; --cool2: #6cb4e6; --cool1: #9ccbe8; --calm: #8d928c; --warm1: #e0a05a; --warm2: #f28a70; --ground1: #33465c; --ground2: #5a4d2d; --ground3: #2f4a37; --ground4: #57383f; } }
a { color: inherit; text-underline-offset: .15em; }
a:focus-visible, button:focus-visible, summary:focus-visible, input:focus-visible, select:focus-visible, .reading:focus-visible { outline: 2px solid var(--open); outline-offset: 2px; }
.script-only { display: none; }
.scripted .script-only { display: block; }
svg { max-width: 100%; }
svg:where(:not(.card-drawing)) text { fill: var(--soft); font-size: 12px; font-variant-numeric: tabular-nums lining-nums; }
button { font: inherit; font-size: .875rem; color: inherit; background: var(--tint); border: 1px solid var(--soft); padding: .25rem .7rem; cursor: pointer; }
fieldset { border: 1px solid var(--line); margin: 0; padding: .3rem .7rem .5rem; min-width: 0; }
legend { color: var(--soft); font-size: .8125rem; padding: 0 .3rem; }
.units { font-size: .875rem; }
.units label { margin-right: .5rem; white-space: nowrap; }
.claim-supported { color: var(--less); } .claim-unresolved { color: var(--open); } .claim-explained-by-conditions, .claim-not-testable { color: var(--mend); }
.claim { border-top: 1px solid var(--line); margin-top: 1.5rem; padding-top: .25rem; }
.claim h3 { font-size: 1.1rem; }
.claim h3 .verdict { margin-left: .5rem; font-size: 1rem; }
h4 { margin: 1rem 0 .4rem; font-size: 1rem; }
.lines div { display: grid; grid-template-columns: 7.5rem 1fr; gap: 0 1rem; padding: .25rem 0; max-width: 52rem; }
.lines dt { color: var(--soft); font-size: .875rem; padding-top: .1rem; } .lines dd { margin: 0; }
.statement { border: 1px solid var(--line); padding: .2rem 1rem .3rem; margin: 1.25rem 0; max-width: 52rem; break-inside: avoid; }
.statement blockquote { margin: 0 0 .6rem; }
p.copy-table { margin: -.75rem 0 1rem; } .copy-table button { font-size: .8125rem; padding: .1rem .5rem; }
.copied { font-size: .875rem; color: var(--soft); }
.range { color: var(--soft); white-space: nowrap; }
.plain { list-style: none; margin: 0; padding: 0; }
.small, .map-legend, .nothing { font-size: .8125rem; line-height: 1.4; color: var(--soft); margin: .2rem 0 .5rem; }
figure { margin: 1.25rem 0; } figure img { display: block; max-width: 100%; height: auto; margin-bottom: .375rem; }
figcaption { color: var(--soft); font-size: .875rem; max-width: 44rem; }
.fluid { padding: 0 1.2rem 0 3.4rem; }
.effects .fluid, .doubt .fluid { padding: 0 1.6rem; }
.fluid-svg { display: block; overflow: visible; }
.effects { max-width: 52rem; }
.effect { border-top: 1px solid var(--line); padding-top: .3rem; }
.effect-name { font-size: .875rem; margin: 0 -1.2rem; max-width: none; }
.axis-name { margin: .1rem 0 .4rem; color: var(--soft); font-size: .8125rem; text-align: center; max-width: none; }
.effect-glyph { min-width: 9rem; }
.drawn { min-width: 10rem; width: 30%; padding-left: 1rem; padding-right: 1.5rem; }
.bar.raw { stroke: var(--soft); stroke-dasharray: 5 3; }
.open { fill: var(--paper); stroke: var(--ink); stroke-width: 1.6; }
.move { stroke: var(--ink); stroke-width: 1; stroke-dasharray: 2 2; }
.piece { stroke: var(--ink); stroke-width: 1; }
.doubt { max-width: 60rem; }
.doubt text { fill: var(--ink); font-weight: 700; font-size: 14px; paint-order: stroke; stroke: var(--paper); stroke-width: 4px; stroke-linejoin: round; }
.recording { max-width: 60rem; break-inside: avoid; }
.recording .fluid { padding: .3rem 1.2rem 0; }
.recording a text { fill: var(--ink); font-weight: 700; font-size: 14px; paint-order: stroke; stroke: var(--paper); stroke-width: 4px; stroke-linejoin: round; }
.recording a:focus-visible .piece, .recording a:hover .piece { stroke-width: 3; }
.hatch { stroke: var(--soft); stroke-width: 1; fill: none; } .hatch-dot { fill: var(--soft); }
.hatch-ground { fill: var(--paper); } .ground-0, .ground-1 { fill: var(--ground1); } .ground-2, .ground-5 { fill: var(--ground2); } .ground-3 { fill: var(--ground3); } .ground-4 { fill: var(--ground4); }
.evidence td:last-child { min-width: 12rem; } .doubt td:last-child, .doubt td:nth-child(2) { min-width: 15rem; }
.by-setup th:first-child { min-width: 11rem; } .by-setup td:nth-child(2) { min-width: 5rem; }
.swatch { vertical-align: -2px; }
.controls label { display: inline-block; margin: 0 1rem .4rem 0; font-size: .875rem; }
.controls input[type="search"], .controls select { font: inherit; color: inherit; background: var(--paper); border: 1px solid var(--soft); padding: .2rem .4rem; max-width: 100%; }
.files { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .2rem 1rem; } #figure-choice { max-width: min(26rem, 100%); }
.pairs-count { font-size: .875rem; color: var(--soft); }
.pairs th button { border: 0; background: none; padding: 0; font-weight: 600; text-align: inherit; text-decoration: underline; text-decoration-style: dotted; text-underline-offset: .2em; }
.pairs th[aria-sort="ascending"] button::after { content: " ▲"; } .pairs th[aria-sort="descending"] button::after { content: " ▼"; }
.pairs tbody[hidden] { display: none; }
.pairs tbody:target { outline: 2px solid var(--open); outline-offset: -2px; }
.pairs summary { cursor: pointer; }
.pairs details .scroll { margin: .6rem 0 .4rem; contain: inline-size; }
.pairs .shares th, .pairs .shares td { padding: .2rem .75rem .2rem 0; border-bottom: 1px solid var(--line); font-weight: normal; }
.shares td.figure { padding-left: .75rem; }
.share-bar { display: block; min-width: 130px; }
.pairs .shares .figure { white-space: normal; }
@media (min-width: 64rem) { .pairs .glyph { min-width: 9.5rem; } }
.pairs tbody .shares tr:first-child :is(th, td) { border-bottom: 1px solid var(--line); padding-top: .2rem; }
.pairs .shares thead th:first-child { width: auto; } .share-bar .more, .share-bar .less { stroke: var(--soft); stroke-width: 8; stroke-opacity: .5; } .share-bar .bar { fill: none; }
.picker { display: flex; flex-wrap: wrap; gap: .2rem 1.25rem; margin: .5rem 0 1rem; }
.picker label { font-size: .875rem; } .picker svg { vertical-align: 2px; }
.run-figures { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(17.5rem, 100%), 1fr)); gap: 1rem 1.75rem; }
.run-figure { margin: 0; break-inside: avoid; } .run-figure figcaption { color: var(--ink); }
.map, .apparent { display: block; max-width: 100%; height: auto; margin: .3rem 0; }
.map path { fill: none; stroke-linejoin: round; } .map .axis { stroke: var(--soft); }
.head-0 { stroke: var(--cool2); stroke-width: 1.6; stroke-dasharray: 1.5 2.5; } .head-1 { stroke: var(--cool1); stroke-width: 2; } .head-2 { stroke: var(--calm); stroke-width: 3.2; } .head-3 { stroke: var(--warm1); stroke-width: 5; } .head-4 { stroke: var(--warm2); stroke-width: 7.5; } .head-unknown { stroke: var(--soft); stroke-width: 1.6; stroke-dasharray: 5 3; }
.map .heading, .map-legend .heading { fill: var(--paper); stroke: var(--ink); stroke-width: 1.4; }
.stood { stroke: var(--ink); stroke-width: 2; fill: none; } .map .stood { stroke-width: 2; } svg text.degrees { font-size: 10px; }
.map .wind-arrow, .wind-arrow { fill: none; stroke: var(--ink); stroke-width: 1.8; }
.map-legend > .long { white-space: normal; } .pair-key { font-size: .8125rem; color: var(--soft); } .pair-key > span, .map-legend > span:not(.long) { white-space: nowrap; margin-right: .8rem; display: inline-block; } .map-legend svg { vertical-align: -1px; }
.cursor { visibility: hidden; stroke: var(--ink); stroke-width: 1; fill: none; } .pointed .cursor { visibility: visible; } circle.cursor { stroke-width: 2.5; }
.strips { margin-top: 1rem; touch-action: pan-y; }
.strip-block { break-inside: avoid; }
.strip-name { margin: .35rem 0 -.9rem; font-size: .8125rem; color: var(--soft); max-width: none; } .strip-name > span:first-child { color: var(--ink); font-weight: 600; }
.weather .strip-name { margin-bottom: 0; }
.plot { overflow: hidden; }
.plot path { vector-effect: non-scaling-stroke; }
.line { fill: none; stroke: var(--ink); stroke-width: 1.6; stroke-linejoin: round; }
.s1 { stroke: var(--l1); stroke-dasharray: 7 2; } .s2 { stroke: var(--l2); stroke-dasharray: 2 2; } .s3 { stroke: var(--l3); stroke-dasharray: 9 3 2 3; } .s4 { stroke: var(--l4); stroke-dasharray: 14 3; } .s5 { stroke: var(--l5); stroke-dasharray: 5 2 1 2 1 2; }
.s6 { stroke: var(--l1); stroke-width: 2.6; } .s7 { stroke: var(--l2); stroke-width: 2.4; stroke-dasharray: 7 2; } .s8 { stroke: var(--l3); stroke-width: 2.4; stroke-dasharray: 2 2; } .s9 { stroke: var(--l4); stroke-width: 2.4; stroke-dasharray: 9 3 2 3; } .s10 { stroke: var(--l5); stroke-width: 2.4; stroke-dasharray: 14 3; } .s11 { stroke: var(--ink); stroke-width: 2.4; stroke-dasharray: 5 2 1 2 1 2; }
.line.together { stroke-width: 3; } .pair-road { max-width: 62rem; } .pair-road .strip-name.pair-sum { margin-bottom: 0; }
.plot .range, .spread { fill: var(--band); stroke: none; }
.weather .spread { fill: var(--shade); }
.card-drawing { display: block; width: 100%; max-width: 36rem; height: auto; margin: .6rem 0; }
[data-top] footer :is(.beside, .files) { display: none; }
.profile { fill: var(--shade); stroke: none; }
.during { fill: var(--tint); }
table.laps tr.lap th { padding-left: 1.6em; font-weight: normal; }
.gridline { stroke: var(--line); stroke-width: 1; fill: none; }
.tag { fill: var(--ink); font-weight: 700; paint-order: stroke; stroke: var(--paper); stroke-width: 4px; stroke-linejoin: round; }
.met { fill: var(--l1); }
.seen { fill: var(--paper); stroke: var(--soft); stroke-width: 1.1; }
.reader { margin: .75rem 0 1.5rem; } .reader label { font-size: .875rem; color: var(--soft); } .reader input { width: 100%; accent-color: var(--ink); margin: .2rem 0 .5rem; }
.reading { overflow-x: auto; }
${CHOICE} { display: none; }
@media screen and (max-width: 46rem) {
  .lines div { grid-template-columns: 1fr; }
  .fluid { padding: 0 .6rem 0 3rem; }
  .pairs .why details .scroll { max-width: calc(100vw - 3.6rem); }
}
`
