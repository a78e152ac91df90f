/** Sorting and filtering of the pairs; travels into the page as its own text, see script-values.ts. */
export function pairsTable(doc: Document): void {
  const table = doc.querySelector<HTMLTableElement>('table.pairs')
  if (!table) return
  const bodies = [...table.tBodies]
  const count = doc.querySelector('.pairs-count')
  const [search, verdict, across] = ['pairs-search', 'pairs-verdict', 'pairs-across'].map((id) =>
    doc.getElementById(id),
  )

  const filter = (): void => {
    const words = (search as HTMLInputElement).value.trim().toLowerCase()
    const wanted = (verdict as HTMLSelectElement).value
    const onlyAcross = (across as HTMLInputElement).checked
    let shown = 0
    for (const body of bodies) {
      const fits =
        (words === '' || (body.dataset.names ?? '').toLowerCase().includes(words)) &&
        (wanted === '' || body.dataset.verdict === wanted) &&
        (!onlyAcross || body.dataset.across === 'yes')
      body.hidden = !fits
      if (fits) shown++
    }
    if (count) count.textContent = `${shown} of ${bodies.length} pairs shown`
  }
  for (const control of [search, verdict, across]) control?.addEventListener('input', filter)
  if (count) count.textContent = `${bodies.length} of ${bodies.length} pairs shown`

  const sortBy = (head: HTMLElement, key: string): void => {
    const down = head.getAttribute('aria-sort') === 'ascending'
    for (const other of table.querySelectorAll('th[aria-sort]')) other.removeAttribute('aria-sort')
    head.setAttribute('aria-sort', down ? 'descending' : 'ascending')
    const keyOf = (body: HTMLElement): number => {
      const text = body.dataset[key] ?? ''
      return text === '' ? Number.POSITIVE_INFINITY : Number(text)
    }
    // What is not known stays last either way.
    const compare = (a: HTMLElement, b: HTMLElement): number => {
      const [x, y] = [keyOf(a), keyOf(b)]
      if (x === y) return Number(a.dataset.order) - Number(b.dataset.order)
      if (x === Number.POSITIVE_INFINITY || y === Number.POSITIVE_INFINITY) return x < y ? -1 : 1
      return down ? y - x : x - y
    }
    table.append(...bodies.sort(compare))
  }
  for (const head of table.querySelectorAll<HTMLElement>('th[data-sort]')) {
    const key = head.dataset.sort ?? ''
    const button = doc.createElement('button')
    button.type = 'button'
    button.append(...head.childNodes)
    head.append(button)
    button.addEventListener('click', () => sortBy(head, key))
  }

  const openTarget = (): void => {
    const id = decodeURIComponent(location.hash.slice(1))
    const body = id.startsWith('pair-') ? doc.getElementById(id) : null
    if (!body) return
    body.hidden = false
    const details = body.querySelector('details')
    if (!details) return
    details.open = true
    body.scrollIntoView({ block: 'center' })
    details.querySelector('summary')?.focus({ preventScroll: true })
  }
  addEventListener('hashchange', openTarget)
  openTarget()
}
