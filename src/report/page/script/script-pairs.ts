import { fixed } from '../../../base/figures.ts'
import type { Verdict } from '../../contract.ts'
import { VERDICT_WORDS } from '../../words.ts'
import { choose, chosen } from './script-address.ts'
import { marginSlider } from './script-margin.ts'

const RANKS: Record<Verdict, number> = { comparable: 0, adjustable: 1, undecided: 2, 'not-comparable': 3, unknown: 4 }

/** Sorting and filtering of the table of pairs, the choice of margin, and opening of the pair that a link leads to. */
export function pairsTable(): void {
  const table = document.querySelector<HTMLTableElement>('table.pairs')
  if (!table) return
  const filter = filterRows([...table.tBodies])
  for (const head of table.querySelectorAll<HTMLElement>('th[data-sort]')) {
    const button = document.createElement('button')
    button.type = 'button'
    button.append(...head.childNodes)
    head.append(button)
    button.addEventListener('click', () => {
      const down = head.getAttribute('aria-sort') === 'ascending'
      choose('sort', `${down ? '-' : ''}${head.dataset.sort}`)
      sortRows(table)
    })
  }
  const arrange = (): void => {
    filter()
    sortRows(table)
    showReference(table, chosen('reference'))
  }
  referenceDrive(table, arrange)
  marginSlider(table, arrange)
  arrange()
  addEventListener('hashchange', openTarget)
  openTarget()
}

const idsOf = ({ dataset }: HTMLElement): string[] => (dataset.names ?? '').split(' ').slice(0, 2)

/** Filters by the controls, as the address has them at first; returns what filters anew. */
function filterRows(bodies: readonly HTMLElement[]): () => void {
  const count = document.querySelector('.pairs-count')
  const search = document.querySelector<HTMLInputElement>('#pairs-search')
  const verdict = document.querySelector<HTMLSelectElement>('#pairs-verdict')
  const across = document.querySelector<HTMLInputElement>('#pairs-across')
  if (search) search.value = chosen('search')
  if (verdict) verdict.value = chosen('verdict')
  if (across) across.checked = chosen('across') === 'yes'
  const cellOf = cellsOfPairs()
  const filter = (): void => {
    const words = (search?.value ?? '').trim().toLowerCase()
    const wanted = verdict?.value ?? ''
    const reference = chosen('reference')
    let shown = 0
    for (const body of bodies) {
      const { names = '', verdict: found, across: between } = body.dataset
      const fits =
        names.toLowerCase().includes(words) &&
        (wanted === '' || found === wanted) &&
        (!across?.checked || between === 'yes') &&
        (reference === '' || idsOf(body).includes(reference))
      if (body.hidden === fits) body.hidden = !fits
      cellOf.get(body.id)?.classList.toggle('aside', !fits)
      if (fits) shown++
    }
    if (count) count.textContent = shown === 0 ? 'No pair fits this filter' : `${shown} of ${bodies.length} pairs shown`
    showPairs(shown > 0, cellOf.size > 0)
  }
  for (const control of [search, verdict, across]) {
    control?.addEventListener('input', () => {
      choose('search', search?.value ?? '')
      choose('verdict', verdict?.value ?? '')
      choose('across', across?.checked ? 'yes' : '')
      filter()
    })
  }
  return filter
}

/** The cells of the matrix by the anchor of their pair; none where a cell is a block of pairs. */
function cellsOfPairs(): Map<string, Element> {
  const cells = new Map<string, Element>()
  for (const link of document.querySelectorAll<HTMLAnchorElement>('.grid a[href^="#pair-"]')) {
    const cell = link.closest('td')
    if (cell) cells.set(decodeURIComponent(link.hash.slice(1)), cell)
  }
  return cells
}

/** Shows the table of pairs and their matrix, or hides them where no pair fits the filter. */
function showPairs(isShown: boolean, withMatrix: boolean): void {
  const parts = withMatrix ? 'table.pairs, .copy-table:has(+ table.pairs), .matrix, .legend' : 'table.pairs'
  for (const part of document.querySelectorAll<HTMLElement>(parts)) part.hidden = !isShown
}

/** A drive against which the others are shown: its pairs alone, the nearest first. */
function referenceDrive(table: HTMLTableElement, arrange: () => void): void {
  const select = document.querySelector<HTMLSelectElement>('#pairs-reference')
  if (!select) return
  const ids = [...new Set([...table.tBodies].flatMap(idsOf))].sort()
  const fill = (): void => {
    if (select.options.length === 1) select.append(...ids.map((id) => new Option(id, id)))
  }
  // The list is made when it is asked for: of very many drives it is long.
  for (const event of ['focus', 'pointerdown']) select.addEventListener(event, fill)
  select.addEventListener('input', () => {
    choose('reference', select.value)
    arrange()
  })
  const wanted = chosen('reference')
  if (wanted !== '' && ids.includes(wanted)) {
    fill()
    select.value = wanted
  } else choose('reference', '')
}

/** Marks a drive in the lists, and tells of each other how it compares with it. */
function showReference(table: HTMLTableElement, reference: string): void {
  const pairs = new Map<string, HTMLElement>()
  for (const body of table.tBodies) {
    const ids = idsOf(body)
    const isWith = ids.includes(reference)
    if (isWith) pairs.set(ids[0] === reference ? ids[1] : ids[0], body)
  }
  const number = document.querySelector(`.drive-list tr[data-run="${CSS.escape(reference)}"] .number`)?.textContent
  for (const row of document.querySelectorAll<HTMLTableRowElement>('tr[data-run]')) {
    const { run = '' } = row.dataset
    row.classList.toggle('chosen', run === reference && reference !== '')
    if (!row.closest('.drive-list')) continue
    row.querySelector('.with-reference')?.remove()
    const pair = pairs.get(run)
    if (pair) row.cells[0].append(comparison(pair, number ?? reference))
  }
}

/** "≈ adjustable, 2.1 % apart from 3". */
function comparison({ dataset }: HTMLElement, reference: string): HTMLElement {
  const { sign, word } = VERDICT_WORDS[dataset.verdict as Verdict]
  const { mean = '' } = dataset
  const told = document.createElement('span')
  told.className = 'with-reference'
  told.textContent =
    mean === ''
      ? ` ${sign} ${word} with ${reference}`
      : ` ${sign} ${word}, ${fixed(Math.abs(Number(mean)), 1)} % apart from ${reference}`
  return told
}

/** Sorts as the address says; without a word of it in the order of the report, against a reference drive by nearness. */
function sortRows(table: HTMLTableElement): void {
  const wanted = chosen('sort')
  const [key, down] = wanted.startsWith('-') ? [wanted.slice(1), true] : [wanted, false]
  for (const head of table.querySelectorAll<HTMLElement>('th[data-sort]')) {
    if (head.dataset.sort === key) head.setAttribute('aria-sort', down ? 'descending' : 'ascending')
    else head.removeAttribute('aria-sort')
  }
  const isNearness = key === '' && chosen('reference') !== ''
  const keyOf = ({ dataset }: HTMLElement): number => {
    if (key === 'rank') return RANKS[dataset.verdict as Verdict]
    const text = dataset[isNearness ? 'mean' : key || 'order'] ?? ''
    if (text === '') return Number.POSITIVE_INFINITY
    return isNearness ? Math.abs(Number(text)) : Number(text)
  }
  // What is not known stays last either way.
  const compare = (a: HTMLElement, b: HTMLElement): number => {
    const [x, y] = [keyOf(a), keyOf(b)]
    if (x === y) return Number(a.dataset.order) - Number(b.dataset.order)
    if (x === Number.POSITIVE_INFINITY || y === Number.POSITIVE_INFINITY) return x < y ? -1 : 1
    return down ? y - x : x - y
  }
  const sorted = [...table.tBodies].sort(compare)
  if (sorted.some((body, i) => body !== table.tBodies[i])) table.append(...sorted)
}

function openTarget(): void {
  const id = decodeURIComponent(location.hash.slice(1))
  const body = id.startsWith('pair-') ? document.getElementById(id) : null
  if (!body) return
  body.hidden = false
  const details = body.querySelector('details')
  if (!details) return
  details.open = true
  body.scrollIntoView({ block: 'center' })
  details.querySelector('summary')?.focus({ preventScroll: true })
}
