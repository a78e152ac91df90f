import { fixed, signed } from '../../../base/figures.ts'
import type { Sentence } from '../../../base/sentence.ts'
import { lineWords } from '../../../read/runs/rows.ts'
import { isByControl } from '../../by-control.ts'
import type { Typefaces } from '../../cards/marks.ts'
import type { Report, ReportClaim } from '../../contract.ts'
import { copied, html, type Markup, scrolled } from '../../markup.ts'
import { otherColumns } from '../../quantities/run-tellings.ts'
import { changeWords, type Interval95, rangeInBrief } from '../../words/claims/changes.ts'
import {
  cautionWords,
  claimReason,
  driftAdvice,
  driftWords,
  senseWords,
  worthWords,
} from '../../words/claims/claim-reasons.ts'
import { CLAIM_VERDICT_WORDS, comparedWords, roadOfClaim } from '../../words/claims/claims.ts'
import { controlSides, controlWords } from '../../words/claims/control.ts'
import { evidenceWords, wayWords } from '../../words/claims/evidence.ts'
import { partRemark, separatingWords } from '../../words/claims/parts.ts'
import { driveCounts, sideWords } from '../../words/claims/sides.ts'
import { drivesById, leftOutList, type StatementDrives, statementWords } from '../../words/claims/statement.ts'
import { usedIn } from '../../words/used.ts'
import type { Scale } from '../road/fluid.ts'
import { marked } from '../sentences.ts'
import { amount, unitOf } from '../units.ts'
import { claimCards } from './claim-cards.ts'
import { doubtFigure, hatchings } from './doubt.ts'
import { effectGlyph, effectScale, effectsFigure } from './effects.ts'

/**
 * What each change did: by setup, by part, with the evidence, the doubts and the statement to publish.
 * @param typefaces the page's, for the cards within it
 * @param cards paths of the cards' files beside the page
 */
export function claimsSection(report: Report, typefaces: Typefaces, cards: readonly string[] = []): Markup | null {
  const { claims } = report
  if (claims.length === 0) return null
  const scale = effectScale(report)
  const drives = drivesById(report)
  const links = claimCards(report, typefaces, cards)
  return html`<section aria-labelledby="claims">
<h2 id="claims">Claims: what each change did</h2>
${hatchings()}${scale ? effectsFigure(claims, scale) : null}${setupsTable(report)}${scale ? partsBlock(report, scale) : null}${claims.map((claim, i) => claimBlock(claim, i, scale, drives, links[i]))}${notesBlock(report)}</section>
`
}

/** A claim's verdict with its sign. */
export function claimTag(verdict: ReportClaim['verdict']): Markup {
  return html`<span class="verdict claim-${verdict.replaceAll(' ', '-')}"><span aria-hidden="true">${CLAIM_VERDICT_WORDS[verdict].sign}</span> ${verdict}</span>`
}

/** "−6.0", and its interval on a line of its own. */
function changeCell(change: Interval95 | null): Markup {
  if (change === null) return html`<td class="figure">–</td>`
  return html`<td class="figure">${signed(change.estimate, 1)}<span class="range"> (${rangeInBrief(change)})</span></td>`
}

function setupsTable(report: Report): Markup {
  const { claims, runs } = report
  const rows = claims.map(
    (claim, i) =>
      html`<tr><th scope="row"><a href="#claim-${i + 1}">${claim.setup}</a> <span class="against">compared with</span> ${claim.baseline}</th><td>${roadOfClaim(claim)}</td><td class="figure">${sidesOf(claim, runs)}</td>${changeCell(claim.raw_consumption_change_pct)}${changeCell(claim.adjusted_consumption_change_pct)}${changeCell(claim.adjusted_distance_per_fuel_change_pct)}<td>${claimTag(claim.verdict)}</td></tr>\n`,
  )
  return copied(
    'Claims by setup',
    html`<table class="wide by-setup"><caption>By setup: changes in percent with 95 % intervals; drives with the setup / with the baseline</caption>
<thead><tr><th scope="col">Setup</th><th scope="col">Road</th><th scope="col" class="figure">Drives</th><th scope="col" class="figure">Consumption, as measured</th><th scope="col" class="figure">Consumption, corrected to equal conditions</th><th scope="col" class="figure">Distance for the same ${usedIn(report)}, corrected to equal conditions</th><th scope="col">Verdict</th></tr></thead>
<tbody>${rows}</tbody></table>`,
  )
}

function partsBlock(report: Report, scale: Scale): Markup | null {
  const { runs, parts, part_groups } = report
  if (runs.length < 2 || (parts.length === 0 && part_groups.length === 0)) return null
  const row = (part: string, change: Interval95 | null, remark: Sentence): Markup =>
    html`<tr><th scope="row">${part}</th>${changeCell(change)}<td class="drawn">${effectGlyph(change, scale)}</td><td>${marked(remark)}</td></tr>\n`
  const singles = parts.map((part) => row(part.part, part.consumption_change_pct, partRemark(part)))
  const groups = part_groups.map(({ parts: own, combined_change_pct: change, exchanged, separating }) => {
    const remark = separating === null ? [] : separatingWords(separating, exchanged)
    return row(exchanged ? own.join(' or ') : `${own.join(' and ')} together`, change, remark)
  })
  return html`<h3>By part</h3>
${copied(
  'Effects of parts',
  html`<table class="wide"><caption>Change of consumption from fitting each part, percent, with its 95 % interval, corrected to equal conditions</caption>
<thead><tr><th scope="col">Part</th><th scope="col" class="figure">Consumption</th><th scope="col">Plot</th><th scope="col">Remark</th></tr></thead>
<tbody>${singles}${groups}</tbody></table>`,
)}
`
}

function claimBlock(
  claim: ReportClaim,
  i: number,
  scale: Scale | null,
  drives: StatementDrives,
  links: Markup | null,
): Markup {
  const { sense, control, drift, worth, left_out } = claim
  const lines: [string, Sentence | null][] = [
    ['Reason', claimReason(claim)],
    ['Plausibility check', sense && senseWords(sense, claim.implied_drag_area_change_pct)],
    ['Control vehicle', control && controlWords(control)],
    ['Drift', drift && [...driftWords(drift), ...driftAdvice(drift)]],
    ['Worth', worth && worthWords(worth)],
    ['Excluded', left_out.length > 0 ? leftOutList(claim) : null],
  ]
  const facts = lines.map(([title, sentence]) =>
    sentence === null ? null : html`<div><dt>${title}</dt><dd>${marked(sentence)}</dd></div>`,
  )
  const cautions =
    claim.caution_codes.length > 0
      ? html`<ul class="remarks">${claim.caution_codes.map((caution) => html`<li>${marked(cautionWords(caution, claim))}</li>`)}</ul>`
      : null
  return html`<article class="claim" id="claim-${i + 1}" aria-labelledby="claim-name-${i + 1}">
<h3 id="claim-name-${i + 1}">${marked(comparedWords(claim))}, ${roadOfClaim(claim)} ${claimTag(claim.verdict)}</h3>
${measuredLine(claim)}<dl class="lines">${facts}</dl>${cautions}
${evidenceTable(claim, scale)}${control ? controlTable(control) : null}${doubtFigure(claim)}<div class="statement"><h4 id="statement-name-${i + 1}">Statement</h4><blockquote id="statement-${i + 1}">${marked(statementWords(claim, drives))}</blockquote><p class="script-only"><button type="button" data-copy="statement-${i + 1}" aria-describedby="statement-name-${i + 1}">Copy the statement</button> <span class="copied" role="status"></span></p>${links}</div>
</article>
`
}

const FUEL_QUANTITY = { l: 'litres', kg: 'kilograms', kWh: 'kilowattHours' } as const

function measuredLine({
  measured_per_100_km: measured,
  setup,
  baseline,
  conditions_change_pct,
}: ReportClaim): Markup | null {
  if (!measured) return null
  const quantity = FUEL_QUANTITY[measured.unit]
  const conditions = conditions_change_pct
    ? html` Of this, ${changeWords(conditions_change_pct)} is due to conditions.`
    : null
  return html`<p>Measured: ${amount(measured.setup, quantity, 2)} with ${setup}, ${amount(measured.baseline, quantity, 2)} with ${baseline}, ${unitOf(quantity)}.${conditions}</p>\n`
}

/** Every way of measuring side by side on one scale, and whether they agree. */
function evidenceTable(claim: ReportClaim, scale: Scale | null): Markup | null {
  const { evidence } = claim
  if (evidence.length === 0 || scale === null) return null
  const remarks = evidenceWords(claim)
  const rows = evidence.map((record, i) => {
    const remark = html`<td>${marked(remarks[i])}</td>`
    const [title, change, weight] =
      record.kind === 'consistency'
        ? ['together', record.weighted_mean_pct, '']
        : [
            wayWords(record.kind, claim.measured_per_100_km?.unit),
            record.consumption_change_pct,
            record.weight === null ? '–' : fixed(100 * record.weight, 0),
          ]
    return html`<tr><th scope="row">${title}</th>${changeCell(change)}<td class="drawn">${effectGlyph(change, scale)}</td><td class="figure">${weight}</td>${remark}</tr>\n`
  })
  return copied(
    `Evidence for ${claim.setup}, ${roadOfClaim(claim)}`,
    html`<table class="wide evidence"><caption>Evidence side by side: change of consumption, percent, with 95 % intervals on one scale; weight in percent</caption>
<thead><tr><th scope="col">Measured by</th><th scope="col" class="figure">Consumption</th><th scope="col">Plot</th><th scope="col" class="figure">Weight</th><th scope="col">Remark</th></tr></thead>
<tbody>${rows}</tbody></table>`,
  )
}

/** The pairs of runs that a claim by the control vehicle rests on. */
function controlTable({ pairs, baseline_pairs, unit }: NonNullable<ReportClaim['control']>): Markup {
  const quantity = FUEL_QUANTITY[unit]
  const rows = (some: typeof pairs, side: string): Markup[] =>
    some.map(
      (pair) =>
        html`<tr><th scope="row">${side}</th><td>${pair.run ?? lineWords(pair)}</td><td>${pair.control_run ?? lineWords({ line: pair.control_line, file: pair.control_file })}</td><td class="figure">${amount(pair.fuel, quantity, 2)}</td><td class="figure">${amount(pair.control_fuel, quantity, 2)}</td><td class="figure">${fixed(pair.ratio, 4)}</td></tr>\n`,
    )
  return copied(
    'Pairs with the control vehicle',
    html`<table class="wide"><caption>Runs made at the same time by the test vehicle and the control vehicle</caption>
<thead><tr><th scope="col">Side</th><th scope="col">Test</th><th scope="col">Control</th><th scope="col" class="figure">Test</th><th scope="col" class="figure">Control</th><th scope="col" class="figure">Ratio</th></tr></thead>
<tbody>${rows(baseline_pairs, 'baseline')}${rows(pairs, 'setup')}</tbody></table>`,
  )
}

/** More notes than these stand in report.json alone. */
const MOST_NOTES = 120

/** What was seen and not measured. */
function notesBlock({ runs }: Report): Markup | null {
  const noted = runs
    .map((run, i) => ({ run, number: i + 1 }))
    .filter(({ run }) => run.note !== null || run.photo !== null || run.extra.length > 0)
  if (noted.length === 0) return null
  const withPhotos = noted.some(({ run }) => run.photo !== null)
  const title = withPhotos ? 'Notes and photos' : 'Notes'
  const left =
    noted.length > MOST_NOTES
      ? html` The first ${MOST_NOTES} of ${noted.length} are shown; report.json holds them all.`
      : null
  const rows = noted
    .slice(0, MOST_NOTES)
    .map(
      ({ run, number }) =>
        html`<tr><th scope="row"><span class="number">${number}</span> ${run.id}</th><td>${[run.note, otherColumns(run)].filter((text) => text !== null).join('; ') || '–'}</td>${withPhotos ? html`<td class="file">${run.photo ?? '–'}</td>` : null}</tr>\n`,
    )
  return html`<div class="screen-only"><h3>${title}</h3>
<p>Seen, not measured: none of this entered a figure.${withPhotos ? ' Photos stay beside the tracks, since a picture often tells where and when it was taken, and whom it shows; those in the folder stand with their hashes under Inputs.' : null}${left}</p>
${scrolled(
  title,
  html`<table><caption>What was noted of the drives</caption>
<thead><tr><th scope="col">Drive</th><th scope="col">Note</th>${withPhotos ? html`<th scope="col">Photo</th>` : null}</tr></thead>
<tbody>${rows}</tbody></table>`,
)}</div>`
}

/** "2 / 3" drives, or how many stints they make. */
function sidesOf(claim: ReportClaim, all: Report['runs']): Markup {
  const { runs, baseline_runs, stints, control } = claim
  if (control !== null && isByControl({ control })) return html`${controlSides(control)}`
  if (stints === null) {
    const { setup, baseline } = driveCounts(claim, all)
    return html`${setup} <span class="against">/</span> ${baseline}`
  }
  return html`${sideWords(runs, stints.setup)} <span class="against">/</span> ${sideWords(baseline_runs, stints.baseline)}`
}
