import type { ShowAs } from './script-values.ts'

/** The place on a road that is pointed at, shown on all its drawings; travels as its own text, see script-values.ts. */
export function alongCursor(doc: Document, show: ShowAs): void {
  for (const block of doc.querySelectorAll<HTMLElement>('.road-along')) {
    const slider = block.querySelector<HTMLInputElement>('input[type="range"]')
    const reading = block.querySelector('.reading')
    const strips = [...block.querySelectorAll<SVGElement>('svg.strip')]
    const axis = block.querySelector<SVGElement>('svg.distance-axis')
    if (!slider || !reading || !axis || strips.length === 0) continue
    const cells = Number(slider.max) + 1
    const trace = (block.dataset.trace ?? '').split(' ').map((point) => point.split(','))
    const columns = new Map<Element, Map<number, number>>()

    const valueAt = (strip: SVGElement, path: Element, cell: number): number | undefined => {
      let column = columns.get(path)
      if (!column) {
        const points = (path.getAttribute('d') ?? '').matchAll(/[ML]([\d.]+) (-?[\d.]+)/g)
        column = new Map([...points].map(([, x, y]) => [Math.floor((Number(x) * cells) / 1000), Number(y)]))
        columns.set(path, column)
      }
      const y = column.get(cell)
      const { from, to, height } = strip.dataset
      return y === undefined ? undefined : Number(from) + (1 - y / Number(height)) * (Number(to) - Number(from))
    }
    const cellOf = (tag: 'th' | 'td', text: string, scope = ''): HTMLElement => {
      const cell = doc.createElement(tag)
      cell.textContent = text
      if (scope) cell.setAttribute('scope', scope)
      if (tag === 'td') cell.className = 'figure'
      return cell
    }
    const rowOf = (...cells: HTMLElement[]): HTMLElement => {
      const row = doc.createElement('tr')
      row.append(...cells)
      return row
    }
    const update = (): void => {
      const cell = Number(slider.value)
      const place = `${(100 * (cell + 0.5)) / cells}%`
      for (const line of block.querySelectorAll('line.cursor')) {
        line.setAttribute('x1', place)
        line.setAttribute('x2', place)
      }
      for (const dot of block.querySelectorAll('circle.cursor')) {
        dot.setAttribute('cx', trace[cell][0])
        dot.setAttribute('cy', trace[cell][1])
      }
      block.classList.add('pointed')
      const picks = [...block.querySelectorAll<HTMLInputElement>('.pick:checked')]
      const names = picks.map((pick) => pick.parentElement?.querySelector('.number')?.textContent ?? '')
      const unit = doc.querySelector('[data-unit="distance"]')?.textContent ?? 'km'
      const at = `${show(((cell + 0.5) / cells) * Number(axis.dataset.length), 'distance 1')} ${unit}`
      const table = doc.createElement('table')
      const caption = doc.createElement('caption')
      caption.textContent = `At ${at}`
      const head = doc.createElement('thead')
      head.append(rowOf(cellOf('th', 'Quantity', 'col'), ...names.map((name) => cellOf('th', `Drive ${name}`, 'col'))))
      const body = doc.createElement('tbody')
      const spoken: string[] = []
      for (const strip of strips) {
        const as = strip.dataset.as ?? ''
        const name = strip.closest('.strip-block')?.querySelector('.strip-name')?.textContent ?? ''
        const texts = picks.map((pick) => {
          const path =
            strip.querySelector(`.line[data-place="${pick.dataset.place}"]`) ?? strip.querySelector('.road-line')
          const value = path && valueAt(strip, path, cell)
          return value === undefined || value === null ? '\u2013' : show(value, as)
        })
        spoken.push(`${name} ${texts.join(', ')}`)
        body.append(rowOf(cellOf('th', name, 'row'), ...texts.map((text) => cellOf('td', text))))
      }
      table.append(caption, head, body)
      reading.replaceChildren(table)
      slider.setAttribute('aria-valuetext', `${at}; ${spoken[0]}`)
    }
    slider.addEventListener('input', update)
    doc.addEventListener('units', () => {
      if (block.classList.contains('pointed')) update()
    })
    for (const pick of block.querySelectorAll('.pick')) pick.addEventListener('change', update)
    for (const map of block.querySelectorAll<SVGSVGElement>('svg.map')) {
      map.addEventListener('pointermove', ({ clientX, clientY }) => {
        const { left, top, width } = map.getBoundingClientRect()
        const scale = map.viewBox.baseVal.width / width
        const [x, y] = [(clientX - left) * scale, (clientY - top) * scale]
        const away = (cell: number): number => Math.hypot(Number(trace[cell][0]) - x, Number(trace[cell][1]) - y)
        let nearest = 0
        for (let cell = 1; cell < cells; cell++) if (away(cell) < away(nearest)) nearest = cell
        // Off the road nothing is meant.
        if (away(nearest) > 12) return
        slider.value = String(nearest)
        update()
      })
    }
    block.querySelector('.strips')?.addEventListener('pointermove', (event) => {
      const { left, width } = axis.getBoundingClientRect()
      const share = ((event as PointerEvent).clientX - left) / width
      if (share < 0 || share > 1) return
      slider.value = String(Math.min(cells - 1, Math.floor(share * cells)))
      update()
    })
  }
}
