/** Sorting and filtering of the table of pairs, and opening of the pair that a link leads to. */
export function pairsTable(): void {
  const table = document.querySelector<HTMLTableElement>('table.pairs')
  if (!table) return
  filterRows([...table.tBodies])
  for (const head of table.querySelectorAll<HTMLElement>('th[data-sort]')) {
    const button = document.createElement('button')
    button.type = 'button'
    button.append(...head.childNodes)
    head.append(button)
    button.addEventListener('click', () => sortBy(table, head))
  }
  addEventListener('hashchange', openTarget)
  openTarget()
}

function filterRows(bodies: readonly HTMLElement[]): void {
  const count = document.querySelector('.pairs-count')
  const search = document.querySelector<HTMLInputElement>('#pairs-search')
  const verdict = document.querySelector<HTMLSelectElement>('#pairs-verdict')
  const across = document.querySelector<HTMLInputElement>('#pairs-across')
  const filter = (): void => {
    const words = (search?.value ?? '').trim().toLowerCase()
    const wanted = verdict?.value ?? ''
    let shown = 0
    for (const body of bodies) {
      const { names = '', verdict: found, across: between } = body.dataset
      const fits =
        names.toLowerCase().includes(words) &&
        (wanted === '' || found === wanted) &&
        (!across?.checked || between === 'yes')
      body.hidden = !fits
      if (fits) shown++
    }
    if (count) count.textContent = `${shown} of ${bodies.length} pairs shown`
  }
  for (const control of [search, verdict, across]) control?.addEventListener('input', filter)
  if (count) count.textContent = `${bodies.length} of ${bodies.length} pairs shown`
}

function sortBy(table: HTMLTableElement, head: HTMLElement): void {
  const down = head.getAttribute('aria-sort') === 'ascending'
  for (const other of table.querySelectorAll('th[aria-sort]')) other.removeAttribute('aria-sort')
  head.setAttribute('aria-sort', down ? 'descending' : 'ascending')
  const keyOf = (body: HTMLElement): number => {
    const text = body.dataset[head.dataset.sort ?? ''] ?? ''
    return text === '' ? Number.POSITIVE_INFINITY : Number(text)
  }
  // What is not known stays last either way.
  const compare = (a: HTMLElement, b: HTMLElement): number => {
    const [x, y] = [keyOf(a), keyOf(b)]
    if (x === y) return Number(a.dataset.order) - Number(b.dataset.order)
    if (x === Number.POSITIVE_INFINITY || y === Number.POSITIVE_INFINITY) return x < y ? -1 : 1
    return down ? y - x : x - y
  }
  table.append(...[...table.tBodies].sort(compare))
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
