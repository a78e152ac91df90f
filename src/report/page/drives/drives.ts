import { listing, plainText, type Sentence } from '../../../base/sentence.ts'
import type { Report, ReportRun } from '../../contract.ts'
import { copied, html, type Markup } from '../../markup.ts'
import { FUEL_QUANTITY, per100Km } from '../../quantities/run-tellings.ts'
import { useInBrief, useReason, useWords } from '../../words/drives/drive-use.ts'
import { usedIn } from '../../words/used.ts'
import { plural } from '../../words.ts'
import { driveAnchor } from '../anchors.ts'
import { fuelPlot } from '../claims/fuel-plot.ts'
import type { PartsAtMargin } from '../margin/part.ts'
import { marked } from '../sentences.ts'
import { clock, clockName } from '../times.ts'
import { unitOf } from '../units.ts'

/** More drives than this stand in runs.csv alone; of more than so many each setup's are folded. */
const MOST_RUNS = 240
const MOST_OPEN = 40

/** Each drive with what it is good for, before any pair of them; null without drives. */
export function drivesSection(report: Report): Markup | null {
  const { runs, claims } = report
  if (runs.length === 0) return null
  const shown = runs.slice(0, MOST_RUNS)
  const left =
    shown.length < runs.length
      ? html`<p>The first ${shown.length} of ${runs.length} drives are listed; runs.csv holds them all.</p>\n`
      : null
  const what =
    claims.length > 0
      ? `Claims count the ${usedIn(report)} of every drive that is not excluded, corrected to the mean conditions of the baseline. A drive is used as measured where its conditions surely differ from these by no more than the margin.`
      : 'Without a claim, a drive counts as measured or corrected where at least one other drive of its road can be compared with it.'
  const table =
    runs.length > MOST_OPEN ? bySetup(report, shown) : drivesTable(report, shown, 'Drives and how each is used')
  return html`<section aria-labelledby="drives">
<h2 id="drives">Drives</h2>
<p>${what}</p>
${fuelPlot(report)}${left}${table}</section>
`
}

/** What of the drives depends on the margin. */
export function drivesAtMargin(report: Report): PartsAtMargin {
  const shown = report.runs.slice(0, MOST_RUNS)
  const cells = shown.flatMap((run, i): [string, Markup][] => [
    [`use-${i + 1}`, useCell(run, i + 1)],
    [`why-${i + 1}`, whyCell(run, i + 1, report)],
  ])
  const summaries =
    report.runs.length > MOST_OPEN
      ? setupsOf(shown).map((one, i): [string, Markup] => [`uses-${i + 1}`, one.summary])
      : []
  // Claims leave the same drives out at every margin.
  const plot = report.claims.length === 0 ? fuelPlot(report) : null
  return { ...Object.fromEntries([...cells, ...summaries]), ...(plot ? { 'fuel-plot': plot } : {}) }
}

/** Many drives: folded by setup, with what they are used for. */
function bySetup(report: Report, runs: readonly ReportRun[]): Markup {
  const blocks = setupsOf(runs).map(({ name, own, summary }) => {
    return html`<details class="drives-of">${summary}
${drivesTable(report, own, `Drives with ${name}`)}</details>\n`
  })
  return html`${blocks}`
}

function setupsOf(runs: readonly ReportRun[]): { name: string; own: ReportRun[]; summary: Markup }[] {
  return [...new Set(runs.map(({ setup }) => setup))].map((setup, i) => {
    const own = runs.filter((run) => run.setup === setup)
    const name = setup ?? 'no setup stated'
    const summary = html`<summary data-at-margin="uses-${i + 1}"><strong>${name}</strong>: ${plural(own.length, 'drive')}, ${usesTogether(own)}</summary>`
    return { name, own, summary }
  })
}

/** "12 as measured, 30 corrected and 8 excluded (wet road)": equal reasons together. */
function usesTogether(runs: readonly ReportRun[]): string {
  const counts = new Map<string, number>()
  for (const { use } of runs) {
    const why = use.as === 'left-out' ? ` (${plainText(useInBrief(use))})` : ''
    const words = `${useWords(use).words}${why}`
    counts.set(words, (counts.get(words) ?? 0) + 1)
  }
  return plainText(listing([...counts].map(([words, count]) => `${count} ${words}`)))
}

function useCell({ use }: ReportRun, number: number): Markup {
  const { sign, words } = useWords(use)
  return html`<td class="use ${use.as}" data-at-margin="use-${number}"><span aria-hidden="true">${sign}</span> ${words}</td>`
}

const whyCell = ({ use }: ReportRun, number: number, { settings }: Report): Markup =>
  html`<td class="reason" data-at-margin="why-${number}">${marked(useReason(use, settings.margin_pct))}</td>`

function drivesTable(report: Report, runs: readonly ReportRun[], label: string): Markup {
  const numbers = new Map(report.runs.map(({ id }, i) => [id, i + 1]))
  const withFuel = report.runs.some(({ consumption }) => consumption !== null)
  const units = [...new Set(report.runs.flatMap(({ consumption }) => consumption?.unit ?? []))]
  // One unit stands in the head; of several each figure has its own.
  const [unit] =
    units.length === 1 ? units.map((one) => html`, <span class="unit">${unitOf(FUEL_QUANTITY[one])}</span>`) : []
  const cell = (value: Sentence | null): Markup =>
    html`<td class="figure">${value === null ? '–' : marked(unit === undefined ? value : value.slice(0, 1))}</td>`
  const rows = runs.map((run) => {
    const { consumption } = run
    const number = numbers.get(run.id) ?? 0
    const fuel = withFuel
      ? html`${cell(per100Km(run, consumption?.per_100_km ?? null))}${cell(per100Km(run, consumption?.adjusted_per_100_km ?? null))}`
      : null
    return html`<tr id="${driveAnchor(run.id)}" data-run="${run.id}"><th scope="row"><span class="number">${number}</span> ${run.id}</th><td>${run.setup ?? '–'}</td><td class="when">${clock(run.start_time)}</td>${fuel}${useCell(run, number)}${whyCell(run, number, report)}</tr>\n`
  })
  const fuelHead = withFuel
    ? html`<th scope="col" class="figure">As measured${unit ?? null}</th><th scope="col" class="figure">Corrected${unit ?? null}</th>`
    : null
  return copied(
    label,
    html`<table class="wide drive-list"><caption>${label}; start in ${clockName()}${withFuel ? `, ${usedIn(report)} over distance` : ''}</caption>
<thead><tr><th scope="col">Drive</th><th scope="col">Setup</th><th scope="col">Start</th>${fuelHead}<th scope="col">Use</th><th scope="col">Why</th></tr></thead>
<tbody>${rows}</tbody></table>`,
  )
}
