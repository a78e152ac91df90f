/**
 * Sections that are printed, by their anchors; of the others the paper says that they stay in the page. The page is
 * read on a screen, and a print of a campaign should stay a few leaves.
 */
export const PRINTED: readonly string[] = [
  'answer',
  'claims',
  'next',
  'drives',
  'pairs',
  'photos',
  'problems',
  'assumptions',
  'settings',
  'sources',
  'cautions',
]

const UNPRINTED = `main > section${PRINTED.map((id) => `:not([aria-labelledby="${id}"])`).join('')}`

/** What changes on paper: black on white, no controls, nothing torn apart, page numbers. */
export const PRINT_STYLE = `
.signatures, .paper-only { display: none; }
@page { margin: 13mm 13mm 15mm;
  @bottom-left { content: "Comparability report, made by ceteris"; font: 8pt sans-serif; color: #444; }
  @bottom-right { content: "Page " counter(page) " of " counter(pages); font: 8pt sans-serif; color: #444; } }
@media print {
  :root { color-scheme: light; --ground: #fff; --paper: #fff; --less: #000; --more: #000; --ink: #000; --soft: #444; --line: #bbb; --rule: #000; --tint: #f4f4f4; --band: #ddd;
    --good: #000; --mend: #000; --bad: #000; --open: #000;
    --l1: #1b5a9a; --l2: #a8471a; --l3: #1c6b4a; --l4: #7a3b86; --l5: #7d6200; --shade: #ccc; --cool2: #155a8a; --cool1: #3a86b4; --calm: #7b7f78; --warm1: #bf6a1e; --warm2: #a32a14; --ground1: #cdd8e4; --ground2: #e6dcc6; --ground3: #d6e2d3; --ground4: #e5d3d8; }
  html { font-size: 8.5pt; }
  body { padding: 0; max-width: none; line-height: 1.3; }
  p, li, .lines div, .statement { max-width: none; }
  h1, h2, h3, p, ul, ol, dl { margin-bottom: .4rem; }
  ${UNPRINTED}, .toolbar, .script-only, .scripted .script-only, .screen-only { display: none; }
  .paper-only { display: block; }
  section { padding: .5rem 0 0; margin-top: .7rem; border-top: 1px solid var(--rule); }
  section::before, section::after { content: none; }
  .scroll { overflow: visible; margin: .5rem 0; }
  th, td { padding-top: .12rem; padding-bottom: .12rem; }
  table { font-size: .8rem; line-height: 1.2; }
  thead { display: table-header-group; }
  tr, .pairs tbody, h2, h3, h4, caption, .effects, .strip-block, .run-figure, .lines div { break-inside: avoid; }
  h2, h3, h4, caption { break-after: avoid; }
  p { orphans: 3; widows: 3; }
  .claim { margin-top: .7rem; }
  .claim .evidence, .claim .doubt { display: none; }
  .effect-glyph, .drawn { min-width: 7rem; }
  .by-setup th:first-child, .by-setup td:nth-child(2) { min-width: 0; }
  .conditions td, .limits td { min-width: 0; }
  .conditions tbody :is(th, td) { padding-top: 0; padding-bottom: 0; } .conditions .group th { padding-top: .3rem; }
  .conditions thead th:first-child, .conditions tbody tr:not(.group) th { position: static; background: none; }
  [aria-labelledby="problems"] tr:has(> .note) { display: none; }
  .pairs > tbody > tr > th { min-width: 15rem; }
  .pairs tbody tr:first-child :is(th, td) { padding-top: .15rem; }
  .pairs .why td { padding-bottom: .2rem; }
  .pairs th button { display: contents; }
  .pairs details > :not(summary) { display: none; }
  .pairs summary { list-style: none; }
  .pairs :is([data-verdict="comparable"], [data-verdict="adjustable"]) .why { display: none; }
  .glyph, .pairs .glyph { width: 8.5rem; min-width: 0; height: auto; }
  .range { white-space: normal; }
  svg, .piece, .range, .spread, .profile, .during, .band, .pairs tbody, .self { print-color-adjust: exact; }
  .cursor, .pointed .cursor { visibility: hidden; }
  .signatures { display: flex; gap: 2rem; margin-top: 3rem; break-inside: avoid; }
  .signatures p { flex: 1; border-top: 1px solid #000; padding-top: .25rem; font-size: 9pt; }
}
`
