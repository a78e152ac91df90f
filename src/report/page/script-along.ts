import { QUANTITIES } from '../../base/quantities.ts'
import { systemOfPage, written } from './script-values.ts'

/** Off the road nothing is meant: a pointer on the map farther than this from the road moves nothing, px of the map. */
const MAP_REACH = 12

/** The place on a road that is pointed at, shown on all its drawings. */
export function alongCursors(): void {
  for (const block of document.querySelectorAll<HTMLElement>('.road-along')) {
    const slider = block.querySelector<HTMLInputElement>('input[type="range"]')
    const reading = block.querySelector('.reading')
    const axis = block.querySelector<SVGElement>('svg.distance-axis')
    const strips = [...block.querySelectorAll<SVGElement>('svg.strip')].map(readerOf)
    if (slider && reading && axis && strips.length > 0) follow({ block, slider, reading, axis, strips })
  }
}

interface Road {
  block: HTMLElement
  slider: HTMLInputElement
  reading: Element
  axis: SVGElement
  strips: StripReader[]
}

interface StripReader {
  /** With the unit that the page is shown in now. */
  name: () => string
  as: string
  /** The value of a drive, or of the road where no drive has one of its own, at a cell of so many. */
  valueAt: (drive: string, cell: number, cells: number) => number | undefined
}

function follow(road: Road): void {
  const { block, slider, axis } = road
  const cells = Number(slider.max) + 1
  const trace = (block.dataset.trace ?? '').split(' ').map((point) => point.split(',').map(Number))
  const update = (): void => showAt(road, trace)
  const moveTo = (cell: number): void => {
    slider.value = String(cell)
    update()
  }
  slider.addEventListener('input', update)
  document.addEventListener('units', () => {
    if (block.classList.contains('pointed')) update()
  })
  for (const pick of block.querySelectorAll('.pick')) pick.addEventListener('change', update)
  for (const map of block.querySelectorAll<SVGSVGElement>('svg.map')) {
    map.addEventListener('pointermove', ({ clientX, clientY }) => {
      const { left, top, width } = map.getBoundingClientRect()
      const scale = map.viewBox.baseVal.width / width
      const [x, y] = [(clientX - left) * scale, (clientY - top) * scale]
      const away = (cell: number): number => Math.hypot(trace[cell][0] - x, trace[cell][1] - y)
      let nearest = 0
      for (let cell = 1; cell < cells; cell++) if (away(cell) < away(nearest)) nearest = cell
      if (away(nearest) <= MAP_REACH) moveTo(nearest)
    })
  }
  block.querySelector<HTMLElement>('.strips')?.addEventListener('pointermove', ({ clientX }) => {
    const { left, width } = axis.getBoundingClientRect()
    const share = (clientX - left) / width
    if (share >= 0 && share <= 1) moveTo(Math.min(cells - 1, Math.floor(share * cells)))
  })
}

/** Puts the cursors at the slider's place and writes the values there of all drives that are drawn. */
function showAt({ block, slider, reading, axis, strips }: Road, trace: number[][]): void {
  const [cell, cells] = [Number(slider.value), Number(slider.max) + 1]
  const share = (cell + 0.5) / cells
  for (const line of block.querySelectorAll('line.cursor')) {
    for (const end of ['x1', 'x2']) line.setAttribute(end, `${100 * share}%`)
  }
  for (const dot of block.querySelectorAll('circle.cursor')) {
    dot.setAttribute('cx', String(trace[cell][0]))
    dot.setAttribute('cy', String(trace[cell][1]))
  }
  block.classList.add('pointed')
  const system = systemOfPage()
  const picks = [...block.querySelectorAll<HTMLInputElement>('.pick:checked')]
  const drives = picks.map((pick) => `Drive ${pick.parentElement?.querySelector('.number')?.textContent ?? ''}`)
  const rows = strips.map(({ name, as, valueAt }) => {
    const values = picks.map((pick) => valueAt(pick.dataset.place ?? '', cell, cells))
    return { name: name(), texts: values.map((value) => (value === undefined ? '\u2013' : written(value, as, system))) }
  })
  const distance = written(share * Number(axis.dataset.length), 'distance 1', system)
  const at = `${distance} ${QUANTITIES.distance[system].unit}`
  reading.replaceChildren(tableOf(`At ${at}`, drives, rows))
  slider.setAttribute('aria-valuetext', `${at}; ${rows[0].name} ${rows[0].texts.join(', ')}`)
}

/** Reads a strip's values back from its lines, each once. */
function readerOf(strip: SVGElement): StripReader {
  const columns = new Map<Element, Map<number, number>>()
  const { as = '', from, to, height } = strip.dataset
  const columnOf = (line: Element, cells: number): Map<number, number> => {
    const known = columns.get(line)
    if (known) return known
    const points = (line.getAttribute('d') ?? '').matchAll(/[ML]([\d.]+) (-?[\d.]+)/g)
    const column = new Map([...points].map(([, x, y]) => [Math.floor((Number(x) * cells) / 1000), Number(y)]))
    columns.set(line, column)
    return column
  }
  return {
    name: () => strip.closest('.strip-block')?.querySelector('.strip-name')?.textContent ?? '',
    as,
    valueAt: (drive, cell, cells) => {
      const line = strip.querySelector(`.line[data-place="${drive}"]`) ?? strip.querySelector('.road-line')
      const y = line ? columnOf(line, cells).get(cell) : undefined
      return y === undefined ? undefined : Number(from) + (1 - y / Number(height)) * (Number(to) - Number(from))
    },
  }
}

function tableOf(title: string, heads: string[], rows: { name: string; texts: string[] }[]): HTMLTableElement {
  const table = document.createElement('table')
  const caption = document.createElement('caption')
  caption.textContent = title
  const head = document.createElement('thead')
  head.append(rowOf(headCell('Quantity', 'col'), ...heads.map((text) => headCell(text, 'col'))))
  const body = document.createElement('tbody')
  body.append(...rows.map(({ name, texts }) => rowOf(headCell(name, 'row'), ...texts.map(figureCell))))
  table.append(caption, head, body)
  return table
}

function rowOf(...cells: HTMLElement[]): HTMLElement {
  const row = document.createElement('tr')
  row.append(...cells)
  return row
}

function headCell(text: string, scope: 'row' | 'col'): HTMLElement {
  const cell = document.createElement('th')
  cell.textContent = text
  cell.setAttribute('scope', scope)
  return cell
}

function figureCell(text: string): HTMLElement {
  const cell = document.createElement('td')
  cell.textContent = text
  cell.className = 'figure'
  return cell
}
