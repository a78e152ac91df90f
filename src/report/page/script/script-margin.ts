import { fixed } from '../../../base/figures.ts'
import type { ReportPair, Verdict } from '../../contract.ts'
import { bandPlace, glyphLabel } from '../../glyph.ts'
import { differenceVerdict } from '../../margin/difference-verdict.ts'
import { scoreIn } from '../../margin/margins.ts'
import { endsAtMargin, figuresReason } from '../../words/pairs.ts'
import { VERDICT_WORDS } from '../../words.ts'
import { dependsOnMargin, type TextsOfParts, textAt, withMargin } from '../margin/texts-at-margins.ts'
import { blockTold, cellKind, differencesIn } from '../pairs/matrix-cells.ts'
import { choose, chosen } from './script-address.ts'

type Difference = NonNullable<ReportPair['difference_pct']>

/**
 * The slider of the margin: judges each pair of the table and of the matrix anew by the rule that made the report, and
 * puts in place what else depends on the margin, which the page holds for each.
 * @param judgedAnew called when all pairs have their new verdicts
 */
export function marginSlider(table: HTMLTableElement, judgedAnew: () => void): void {
  const slider = document.querySelector<HTMLInputElement>('#pairs-margin')
  const back = document.querySelector<HTMLButtonElement>('#pairs-own-margin')
  const data = document.querySelector('#parts-at-margins')?.textContent
  if (!slider || !back || !data) return
  const parts: TextsOfParts = JSON.parse(data)
  const margins = (slider.dataset.margins ?? '').split(' ').map(Number)
  const own = slider.defaultValue
  let shown = own
  const show = (): void => {
    const place = slider.value
    const marginPct = margins[Number(place)]
    slider.setAttribute('aria-valuetext', `± ${marginPct} %`)
    back.hidden = place === own
    choose('margin', place === own ? '' : String(marginPct))
    if (place === shown) return
    const before = { place: Number(shown), marginPct: margins[Number(shown)] }
    shown = place
    rewriteParts(parts, before, { place: Number(place), marginPct })
    for (const element of document.querySelectorAll('.margin')) element.textContent = String(marginPct)
    for (const element of document.querySelectorAll<HTMLElement>('.at-other-margin')) element.hidden = place === own
    judgeAll(table, marginPct, Number(place))
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

interface At {
  place: number
  marginPct: number
}

/** Puts the parts in place that are not the same as before, and tells of it, so that they are shown in the reader's units. */
function rewriteParts(parts: TextsOfParts, before: At, now: At): void {
  const templates = document.querySelectorAll<HTMLTemplateElement>('#at-margins > template')
  for (const element of document.querySelectorAll<HTMLElement>('[data-at-margin]')) {
    const part = element.dataset.atMargin ?? ''
    const text = textAt(parts, part, now.place)
    if (text === null) continue
    const { content, isAlike } = templateOf(templates[text])
    if (isAlike && text === textAt(parts, part, before.place)) continue
    const copy = content.cloneNode(true)
    writeMargin(copy, now.marginPct)
    element.replaceWith(copy)
  }
  // A section without anything in it is hidden, and so is its line in the list of contents.
  for (const section of document.querySelectorAll<HTMLElement>('section[data-at-margin]')) {
    const link = document.querySelector(`.toolbar a[href="#${section.getAttribute('aria-labelledby')}"]`)
    if (link?.parentElement) link.parentElement.hidden = section.hidden
  }
  document.dispatchEvent(new Event('rewritten'))
}

const templateOf = ({ content }: HTMLTemplateElement) => ({
  content,
  /** Whether it is the same at all margins. */
  isAlike: !dependsOnMargin(content.textContent ?? ''),
})

/** The margin, wherever it stands in the texts below a node. */
function writeMargin(node: Node, marginPct: number): void {
  const texts = document.createTreeWalker(node, NodeFilter.SHOW_TEXT)
  while (texts.nextNode()) texts.currentNode.textContent = withMargin(texts.currentNode.textContent ?? '', marginPct)
}

function judgeAll(table: HTMLTableElement, marginPct: number, place: number): void {
  const scalePct = Number(table.dataset.scale)
  for (const body of table.tBodies) {
    const { difference: figures, scores } = body.dataset
    if (figures === undefined) continue
    const [mean, low90, high90] = figures.split(' ').map(Number)
    const difference = { mean, low90, high90 }
    drawMargin(body, difference, marginPct, scalePct)
    if (scores !== undefined) judgeRow(body, difference, marginPct, scoreIn(scores, place))
  }
  judgeMatrix(marginPct)
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
  const { verdict, cause } = differenceVerdict(difference, marginPct)
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
    const judged = differencesIn(differences).map((difference) => differenceVerdict(difference, marginPct).verdict)
    const rest = others.split(' ').filter((verdict) => verdict !== '') as Verdict[]
    const { most, share, words } = blockTold([...judged, ...rest])
    writeCell(cell, most, `${name}, ${words}`, '.hidden')
    write(cell, '.mean', share)
  }
}

function writeCell(cell: Element, verdict: Verdict, words: string, where: string): void {
  const edges = [...cell.classList].filter((kind) => kind === 'aside' || kind.startsWith('new-'))
  cell.className = [cellKind(verdict), ...edges].join(' ')
  write(cell, '.sign', VERDICT_WORDS[verdict].sign)
  write(cell, where, words)
}

function write(within: Element, where: string, text: string): void {
  const element = within.querySelector(where)
  if (element) element.textContent = text
}
