import type { QUANTITIES, System } from '../../base/quantities.ts'

/**
 * These functions travel into the page as their own text: each must use nothing but its arguments and what a browser has.
 */
export type Quantities = typeof QUANTITIES
/** "speed 0 sign difference": quantity, decimals in SI, and what else there is to know. */
export type ShowAs = (value: number, as: string) => string

/** Writes values in the units that are chosen. */
export function valueWriter(root: HTMLElement, quantities: Quantities): ShowAs {
  return (value, as) => {
    const [quantity, decimals, ...how] = as.split(' ')
    const system = (root.dataset.units ?? 'si') as System
    const { factor, offset, moreDecimals } = quantities[quantity as keyof Quantities][system]
    const shown = value * factor + (how.includes('difference') ? 0 : offset)
    const text = shown.toFixed(Math.max(0, Number(decimals) + moreDecimals))
    if (Number(text) === 0) return text.replace('-', '')
    return how.includes('sign') && shown > 0 ? `+${text}` : text.replace('-', '\u2212')
  }
}

/** The switch of units: rewrites every value, unit and axis, and remembers the choice where the browser allows it. */
export function unitsSwitch(doc: Document, quantities: Quantities, show: ShowAs): void {
  const key = 'ceteris-units'
  const root = doc.documentElement
  const remembered = (): string | null => {
    try {
      return localStorage.getItem(key)
    } catch {
      return null
    }
  }
  const remember = (system: string): void => {
    try {
      localStorage.setItem(key, system)
    } catch {
      // A page from disk may be refused storage: the choice then lasts as long as the page.
    }
  }
  const rewriteAxis = (axis: SVGElement): void => {
    const { as, from, to, top, height } = axis.dataset
    const group = axis.querySelector('.ticks')
    if (!as || !group) return
    const [name, , ...how] = as.split(' ')
    const { factor, offset } = quantities[name as keyof Quantities][root.dataset.units as System]
    const [low, high] = [from, to].map((v) => Number(v) * factor + offset)
    const rough = (high - low) / 4
    const power = 10 ** Math.floor(Math.log10(rough))
    const step = power * ([1, 2, 5].find((s) => s * power >= rough * 0.999) ?? 10)
    const places = Math.max(0, -Math.floor(Math.log10(step) + 1e-9))
    const kept: Element[] = []
    for (let tick = Math.ceil(low / step - 1e-9); tick <= high / step + 1e-9; tick++) {
      const y = Number(top) + Number(height) * (1 - (tick * step - low) / (high - low))
      const line = doc.createElementNS('http://www.w3.org/2000/svg', 'line')
      const at = { x1: '0', x2: '100%', y1: y, y2: y, class: tick === 0 && how.includes('sign') ? 'zero' : 'gridline' }
      for (const [attribute, value] of Object.entries(at)) line.setAttribute(attribute, String(value))
      const text = doc.createElementNS('http://www.w3.org/2000/svg', 'text')
      for (const [attribute, value] of Object.entries({ x: -6, y: y + 4, 'text-anchor': 'end' }))
        text.setAttribute(attribute, String(value))
      const number = (tick * step).toFixed(places).replace('-', '\u2212')
      text.textContent = how.includes('sign') && tick > 0 ? `+${number}` : number
      kept.push(line, text)
    }
    group.replaceChildren(...kept)
  }
  const rewriteDistances = (axis: SVGElement): void => {
    const { factor } = quantities.distance[root.dataset.units as System]
    const length = Number(axis.dataset.length) * factor
    const rough = length / 7
    const power = 10 ** Math.floor(Math.log10(rough))
    const step = power * ([1, 2, 5].find((s) => s * power >= rough * 0.999) ?? 10)
    const places = Math.max(0, -Math.floor(Math.log10(step) + 1e-9))
    const kept: Element[] = []
    for (let tick = 0; tick * step <= length * (1 + 1e-9); tick++) {
      const x = `${(100 * tick * step) / length}%`
      const line = doc.createElementNS('http://www.w3.org/2000/svg', 'line')
      for (const [attribute, value] of Object.entries({ x1: x, x2: x, y1: 0, y2: 5, class: 'axis' }))
        line.setAttribute(attribute, String(value))
      const text = doc.createElementNS('http://www.w3.org/2000/svg', 'text')
      for (const [attribute, value] of Object.entries({ x, y: 18, 'text-anchor': 'middle' }))
        text.setAttribute(attribute, String(value))
      text.textContent = (tick * step).toFixed(places)
      kept.push(line, text)
    }
    axis.querySelector('.ticks')?.replaceChildren(...kept)
  }
  const written = new Map<Element, string>()
  const apply = (system: string): void => {
    root.dataset.units = system
    const unitOf = (quantity: string): string => quantities[quantity as keyof Quantities][system as System].unit
    for (const element of doc.querySelectorAll<HTMLElement>('data[data-as], text[data-as], tspan[data-as]')) {
      // As it was written it comes back with every digit.
      if (!written.has(element)) written.set(element, element.textContent ?? '')
      const { as = '', value = element.getAttribute('value'), withUnit } = element.dataset
      const unit = withUnit === undefined ? '' : ` ${unitOf(as.split(' ')[0])}`
      element.textContent = system === 'si' ? (written.get(element) ?? '') : show(Number(value), as) + unit
    }
    for (const element of doc.querySelectorAll<HTMLElement>('[data-label]')) {
      if (!written.has(element)) written.set(element, element.getAttribute('aria-label') ?? '')
      const inUnits = (element.dataset.label ?? '').replace(/\{(?:(-?[\d.e-]+)\|)?([\w ]+)\}/g, (_, value, as) =>
        value === undefined ? unitOf(as) : show(Number(value), as),
      )
      element.setAttribute('aria-label', system === 'si' ? (written.get(element) ?? '') : inUnits)
    }
    for (const element of doc.querySelectorAll<HTMLElement>('[data-unit]')) {
      element.textContent = unitOf(element.dataset.unit ?? '')
    }
    for (const axis of doc.querySelectorAll<SVGElement>('svg[data-from]')) rewriteAxis(axis)
    for (const axis of doc.querySelectorAll<SVGElement>('svg[data-length]')) rewriteDistances(axis)
    doc.dispatchEvent(new Event('units'))
  }
  const radios = [...doc.querySelectorAll<HTMLInputElement>('input[name="units"]')]
  for (const radio of radios) {
    radio.addEventListener('change', () => {
      apply(radio.value)
      remember(radio.value)
    })
  }
  // What the reader turned to while the page was loading counts before what an earlier visit left.
  const turned = radios.find(({ checked, defaultChecked }) => checked && !defaultChecked)
  const start = turned ?? radios.find(({ value }) => value === remembered())
  if (turned) remember(turned.value)
  if (start && start.value !== 'si') {
    start.checked = true
    apply(start.value)
  }
}
