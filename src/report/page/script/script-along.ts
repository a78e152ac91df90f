import { QUANTITIES } from '../../../base/quantities.ts'
import type { RoadValues } from '../road/road-values.ts'
import { systemOfPage, written } from './script-values.ts'

/** Off the road nothing is meant: a pointer on the map farther than this from the road moves nothing, px of the map. */
const MAP_REACH = 12

/** The place on a road that is pointed at, shown on all its drawings. */
export function alongCursors(): void {
  for (const block of document.querySelectorAll<HTMLElement>('.road-along')) {
    const slider = block.querySelector<HTMLInputElement>('input[type="range"]')
    const reading = block.querySelector('.reading')
    const data = block.querySelector('script[type="application/json"]')?.textContent
    const strips = [...block.querySelectorAll<SVGElement>('svg.strip')].map((svg) => ({
      strip: svg.dataset.strip ?? '',
      name: () => svg.closest('.strip-block')?.querySelector('.strip-name')?.textContent ?? '',
      as: svg.dataset.as ?? '',
    }))
    if (slider && reading && data && strips.length > 0) {
      follow({ block, slider, reading, values: JSON.parse(data) as RoadValues, strips })
    }
  }
}

interface Road {
  block: HTMLElement
  slider: HTMLInputElement
  reading: Element
  values: RoadValues
  strips: { strip: string; name: () => string; as: string }[]
}

function follow(road: Road): void {
  const { block, slider, values } = road
  const axis = block.querySelector<SVGElement>('svg.distance-axis')
  const trace = values.trace
  const update = (): void => showAt(road)
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
      for (let cell = 1; cell < trace.length; cell++) if (away(cell) < away(nearest)) nearest = cell
      if (away(nearest) <= MAP_REACH) moveTo(nearest)
    })
  }
  block.querySelector<HTMLElement>('.strips')?.addEventListener('pointermove', ({ clientX }) => {
    const { left, width } = (axis ?? block).getBoundingClientRect()
    const share = (clientX - left) / width
    if (share >= 0 && share <= 1) moveTo(Math.min(trace.length - 1, Math.floor(share * trace.length)))
  })
}

/** Puts the cursors at the slider's place and writes the values there of all drives that are drawn. */
function showAt({ block, slider, reading, values, strips }: Road): void {
  const { trace, lengthM } = values
  const cell = Number(slider.value)
  const share = (cell + 0.5) / trace.length
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
  const drives = picks.map((pick) => values.drives[Number(pick.dataset.place)])
  const rows = strips.map(({ strip, name, as }) => {
    const shown = drives.map(
      (drive) => (strip === 'elevation' || strip === 'gradient' ? values[strip] : drive.strips[strip])?.[cell] ?? null,
    )
    return { name: name(), texts: shown.map((value) => (value === null ? '\u2013' : written(value, as, system))) }
  })
  const at = `${written(share * lengthM, 'distance 1', system)} ${QUANTITIES.distance[system].unit}`
  const heads = drives.map(({ number }) => `Drive ${number}`)
  // Wider than the window with many drives: then it is scrolled, also by keyboard.
  reading.setAttribute('tabindex', '0')
  reading.replaceChildren(tableOf(`At ${at}`, heads, rows))
  slider.setAttribute('aria-valuetext', `${at}; ${rows[0].name} ${rows[0].texts.join(', ')}`)
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
