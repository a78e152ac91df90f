import { fixed } from '../../../base/figures.ts'
import { verdictOf } from '../../../compare/verdict.ts'
import type { ReportPair, Verdict } from '../../contract.ts'
import { bandPlace, glyphLabel } from '../../glyph.ts'
import { scoreIn } from '../../margins.ts'
import { countSentences, verdictCounts, verdictsHeadline } from '../../words/answer.ts'
import { endsAtMargin, figuresReason } from '../../words/pairs.ts'
import { VERDICT_WORDS } from '../../words.ts'
import { blockTold, cellKind, differencesIn } from '../pairs/matrix-cells.ts'
import { choose, chosen } from './script-address.ts'

type Difference = NonNullable<ReportPair['difference_pct']>

/**
 * The slider of the margin: judges each pair anew by the rule that made the report, and writes its verdict, score and
 * reason, the matrix and the counts.
 * @param judgedAnew called when all pairs have their new verdicts
 */
export function marginSlider(table: HTMLTableElement, judgedAnew: () => void): void {
  const slider = document.querySelector<HTMLInputElement>('#pairs-margin')
  const back = document.querySelector<HTMLButtonElement>('#pairs-own-margin')
  if (!slider || !back) return
  const margins = (slider.dataset.margins ?? '').split(' ').map(Number)
  const own = slider.defaultValue
  let shown = own
  const show = (): void => {
    const place = slider.value
    const marginPct = margins[Number(place)]
    slider.setAttribute('aria-valuetext', `± ${marginPct} %`)
    for (const element of document.querySelectorAll('.margin')) element.textContent = String(marginPct)
    back.hidden = place === own
    choose('margin', place === own ? '' : String(marginPct))
    if (place === shown) return
    shown = place
    judgeAll(table, marginPct, Number(place))
    for (const element of document.querySelectorAll<HTMLElement>('.pair-differences')) element.hidden = place !== own
    for (const element of document.querySelectorAll<HTMLElement>('.at-other-margin')) element.hidden = place === own
    judgedAnew()
  }
  slider.addEventListener('input', show)
  back.addEventListener('click', () => {
    slider.value = own
    slider.focus()
    show()
  })
  const wanted = margins.indexOf(Number(chosen('margin')))
  if (wanted >= 0) slider.value = String(wanted)
  show()
}

function judgeAll(table: HTMLTableElement, marginPct: number, place: number): void {
  const scalePct = Number(table.dataset.scale)
  const bodies = [...table.tBodies]
  for (const body of bodies) {
    const { difference: figures, scores } = body.dataset
    if (figures === undefined) continue
    const [mean, low90, high90] = figures.split(' ').map(Number)
    const difference = { mean, low90, high90 }
    drawMargin(body, difference, marginPct, scalePct)
    if (scores !== undefined) judgeRow(body, difference, marginPct, scoreIn(scores, place))
  }
  judgeMatrix(marginPct)
  const verdicts = (rows: readonly HTMLElement[]) =>
    rows.map(({ dataset }) => ({ verdict: dataset.verdict as Verdict }))
  const across = bodies.filter(({ dataset }) => dataset.across === 'yes')
  const all = verdicts(bodies)
  const told = [
    verdictsHeadline(all),
    ...countSentences(verdictCounts(all), verdictCounts(verdicts(across)), marginPct).map((pieces) => pieces.join('')),
  ]
  const places = document.querySelectorAll('.pair-counts > p')
  for (const [i, text] of told.entries()) if (places[i]) (places[i].firstElementChild ?? places[i]).textContent = text
}

/** The verdict of a difference at a margin, by the same rule as in the report. */
function judgement({ mean, low90, high90 }: Difference, marginPct: number): ReturnType<typeof verdictOf> {
  const tightestMarginPct = Math.max(Math.abs(low90), Math.abs(high90))
  return verdictOf({ meanPct: mean, low90Pct: low90, high90Pct: high90, tightestMarginPct }, marginPct)
}

function drawMargin(body: HTMLElement, difference: Difference, marginPct: number, scalePct: number): void {
  write(body, '.interval', endsAtMargin(difference, marginPct))
  const band = body.querySelector('.glyph .band')
  if (!band) return
  const { x, width } = bandPlace(marginPct, scalePct)
  band.setAttribute('x', String(x))
  band.setAttribute('width', String(width))
  band.parentElement?.setAttribute('aria-label', glyphLabel(difference, marginPct))
}

function judgeRow(body: HTMLElement, difference: Difference, marginPct: number, score: number): void {
  const { verdict, cause } = judgement(difference, marginPct)
  body.dataset.verdict = verdict
  body.dataset.score = String(score)
  const { sign, word } = VERDICT_WORDS[verdict]
  const tag = body.querySelector('.verdict')
  if (tag) {
    tag.className = `verdict ${verdict}`
    const [signed, words] = tag.childNodes
    signed.textContent = sign
    words.textContent = ` ${word}`
  }
  write(body, '.reason', figuresReason({ difference_pct: difference, verdict, cause }, marginPct))
  write(body, '.score', fixed(score, 0))
  const cell = document.querySelector(`.grid a[href="#${encodeURIComponent(body.id)}"]`)?.parentElement
  if (cell) writeCell(cell, verdict, word, '.word')
}

/** The cells that stand for several pairs. */
function judgeMatrix(marginPct: number): void {
  for (const cell of document.querySelectorAll<HTMLElement>('.blocks [data-cell]')) {
    const { name, differences = '', others = '' } = cell.dataset
    const judged = differencesIn(differences).map((difference) => judgement(difference, marginPct).verdict)
    const rest = others.split(' ').filter((verdict) => verdict !== '') as Verdict[]
    const { most, share, words } = blockTold([...judged, ...rest])
    writeCell(cell, most, `${name}, ${words}`, '.hidden')
    write(cell, '.mean', share)
  }
}

function writeCell(cell: Element, verdict: Verdict, words: string, where: string): void {
  const edges = [...cell.classList].filter((kind) => kind.startsWith('new-'))
  cell.className = [cellKind(verdict), ...edges].join(' ')
  write(cell, '.sign', VERDICT_WORDS[verdict].sign)
  write(cell, where, words)
}

function write(within: Element, where: string, text: string): void {
  const element = within.querySelector(where)
  if (element) element.textContent = text
}
