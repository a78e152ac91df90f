import type { Report, ReportProblem } from '../contract.ts'
import { html, type Markup, scrolled } from '../markup.ts'
import { roadSketch } from '../road-sketch.ts'
import { problemPlace } from '../terminal/terminal.ts'
import { assumedUncertainty, assumedValue } from '../words/assumptions.ts'
import { sourceLine } from '../words/sources.ts'
import { capital, plural } from '../words.ts'
import { marked } from './sentences.ts'
import { clockName, withMoments } from './times.ts'
import { amount, unitOf } from './units.ts'

/** More roads than this are listed, not drawn. */
const MOST_SKETCHES = 12

/** The roads that were driven. */
export function routesSection({ routes }: Report): Markup | null {
  if (routes.length === 0) return null
  const rows = routes.map(
    (route) =>
      html`<tr><th scope="row">${route.id}</th><td class="figure">${amount(route.length_m, 'distance', 2)}</td><td>${route.shape.replaceAll('-', ' ')}</td><td class="figure">${amount(route.elevation_gain_m, 'height', 0)}</td><td class="figure">${route.runs.length}</td><td>${route.reference_run}</td><td>${route.opposite_of ?? '–'}</td></tr>\n`,
  )
  const sketches = html`<div class="sketches">${routes.slice(0, MOST_SKETCHES).map(roadSketch)}</div>\n`
  const table = scrolled(
    'Roads',
    html`<table><caption>Roads driven, each with the drive whose path is its distance axis</caption>
<thead><tr><th scope="col">Road</th><th scope="col" class="figure">Length, ${unitOf('distance')}</th><th scope="col">Shape</th><th scope="col" class="figure">Climb, ${unitOf('height')}</th><th scope="col" class="figure">Drives</th><th scope="col">Axis from</th><th scope="col">Opposite direction of</th></tr></thead>
<tbody>${rows}</tbody></table>`,
  )
  return section('routes', 'Roads', html`${sketches}${table}`)
}

/** What was wrong, mended or assumed in the files, the worst first. */
export function problemsSection({ problems }: Report): Markup {
  if (problems.length === 0)
    return section('problems', 'Problems', html`<p>None: every file was read as it stands.</p>\n`)
  const counts = (['error', 'warning', 'note'] as const)
    .map((severity) => [problems.filter((problem) => problem.severity === severity).length, severity] as const)
    .filter(([count]) => count > 0)
    .map(([count, severity]) => plural(count, severity))
  const rows = alikeTogether(problems).map(
    ({ first, more }) =>
      html`${first.map(problemRow)}${more === 0 ? null : html`<tr><td class="${first[0].severity}">${capital(first[0].severity)}</td><td class="file">–</td><td><strong>${more} more of this kind</strong>; report.json holds them all.</td><td class="file">${first[0].code}</td></tr>\n`}`,
  )
  const notes = problems.filter(({ severity }) => severity === 'note').length
  const table = scrolled(
    'Problems',
    html`<table class="wide${notes === problems.length ? ' screen-only' : ''}"><caption>${counts.join(', ')}; a place is file:line:column</caption>
<thead><tr><th scope="col">Kind</th><th scope="col">Where</th><th scope="col">What</th><th scope="col">Code</th></tr></thead>
<tbody>${rows}</tbody></table>`,
  )
  const unprinted =
    notes === 0
      ? null
      : html`<p class="paper-only">${plural(notes, 'note')}, listed in the page and in report.json.</p>\n`
  return section('problems', 'Problems', html`${table}${unprinted}`)
}

const problemRow = (problem: ReportProblem): Markup =>
  html`<tr><td class="${problem.severity}">${capital(problem.severity)}</td><td class="file">${problemPlace(problem) || '–'}</td><td>${withMoments(problem.message)}${problem.hint === null ? null : html` <span class="hint">${withMoments(problem.hint)}</span>`}</td><td class="file">${problem.code}</td></tr>\n`

/** Up to so many problems each has a row; of more, so many of each kind have one, and the others are counted. */
const MOST_PROBLEMS = 120
const MOST_OF_A_KIND = 10

function alikeTogether(problems: readonly ReportProblem[]): { first: ReportProblem[]; more: number }[] {
  if (problems.length <= MOST_PROBLEMS) return problems.map((problem) => ({ first: [problem], more: 0 }))
  return [...byKind(problems, ({ severity, code }) => `${severity} ${code}`)].map(([, alike]) => ({
    first: alike.slice(0, MOST_OF_A_KIND),
    more: Math.max(0, alike.length - MOST_OF_A_KIND),
  }))
}

function byKind<T>(items: readonly T[], kindOf: (item: T) => string): Map<string, T[]> {
  const kinds = new Map<string, T[]>()
  for (const item of items) {
    const alike = kinds.get(kindOf(item))
    if (alike) alike.push(item)
    else kinds.set(kindOf(item), [item])
  }
  return kinds
}

/** Of more files of a kind than this the others stand in report.json alone. */
const MOST_FILES_OF_A_KIND = 150

/** The files that were read, so that the report can be made again and checked. */
export function inputsSection({ inputs }: Report): Markup {
  const kinds = byKind(inputs, ({ kind }) => kind)
  const listed = new Set([...kinds].flatMap(([, files]) => files.slice(0, MOST_FILES_OF_A_KIND)))
  const thinned = [...kinds].flatMap(([kind, { length }]) =>
    length <= MOST_FILES_OF_A_KIND
      ? []
      : html`<p>The first ${MOST_FILES_OF_A_KIND} of ${length} files of the kind ${kind} are listed; report.json holds them all.</p>\n`,
  )
  const rows = inputs
    .filter((input) => listed.has(input))
    .map(
      (input) =>
        html`<tr><th scope="row" class="file">${input.path}</th><td>${input.kind}</td><td class="file hash">${input.sha256}</td><td>${input.notes.join('; ')}</td></tr>\n`,
    )
  return section(
    'inputs',
    'Inputs',
    html`${thinned}${scrolled(
      'Inputs',
      html`<table class="wide"><caption>Files read, with the SHA-256 of their bytes</caption>
<thead><tr><th scope="col">File</th><th scope="col">Kind</th><th scope="col">SHA-256</th><th scope="col">Notes</th></tr></thead>
<tbody>${rows}</tbody></table>`,
    )}`,
  )
}

/** Whose data the fetched files are, as their licences ask; nothing where no file was fetched. */
export function sourcesSection({ sources }: Report): Markup | null {
  if (sources.length === 0) return null
  return section(
    'sources',
    'Sources',
    html`<ul>${sources.map((one) => html`<li>${sourceLine(one)}: ${one.files.join(', ')}</li>`)}</ul>\n`,
  )
}

/** What the figures rest on. */
export function assumptionsSection({ assumptions, settings }: Report): Markup {
  const rows = assumptions.map(
    (line) =>
      html`<tr><th scope="row">${capital(line.name)}</th><td>${marked(assumedValue(line))}</td><td>${marked(assumedUncertainty(line))}</td><td>${line.source}</td></tr>\n`,
  )
  const zone =
    settings.time_zone === null
      ? 'no time zone was stated, so local times were read as UTC'
      : `local times were read in the zone ${settings.time_zone}`
  return section(
    'assumptions',
    'Assumptions',
    html`<p>Times are shown in ${clockName()}; ${zone}.</p>
${scrolled(
  'Assumptions',
  html`<table class="wide"><caption>What was assumed, with standard deviations</caption>
<thead><tr><th scope="col">Quantity</th><th scope="col">Value</th><th scope="col">Uncertainty</th><th scope="col">Source</th></tr></thead>
<tbody>${rows}</tbody></table>`,
)}`,
  )
}

/** What the reader must not take the report for. */
export function cautionsSection({ cautions }: Report): Markup {
  return section('cautions', 'Cautions', html`<ul>${cautions.map((caution) => html`<li>${caution}</li>`)}</ul>\n`)
}

/** Lines to sign on, on paper only. */
export function signatures(): Markup {
  return html`<div class="signatures"><p>Drawn up by</p><p>Checked by</p><p>Place and date</p></div>\n`
}

function section(id: string, title: string, content: Markup): Markup {
  return html`<section aria-labelledby="${id}">\n<h2 id="${id}">${title}</h2>\n${content}</section>\n`
}
