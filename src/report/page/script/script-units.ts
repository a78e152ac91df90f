import { QUANTITIES, type Quantity, type System } from '../../../base/quantities.ts'
import type { LabelPiece } from '../sentences.ts'
import { rewriteAxes } from './script-axes.ts'
import { systemOfPage, writingOf, written } from './script-values.ts'

const KEY = 'ceteris-units'
/** What stood in an element, or in its label, when the page was loaded: as it was written it comes back with every digit. */
const atFirst = new WeakMap<Element, string>()

/** The switch of units: rewrites every value, unit and axis, and remembers the choice where the browser allows it. */
export function unitsSwitch(): void {
  const radios = [...document.querySelectorAll<HTMLInputElement>('input[name="units"]')]
  for (const radio of radios) {
    radio.addEventListener('change', () => {
      apply(radio.value as System)
      remember(radio.value)
    })
  }
  document.addEventListener('rewritten', () => {
    if (systemOfPage() !== 'si') apply(systemOfPage())
  })
  // What the reader turned to while the page was loading counts before what an earlier visit left.
  const turned = radios.find(({ checked, defaultChecked }) => checked && !defaultChecked)
  const start = turned ?? radios.find(({ value }) => value === remembered())
  if (turned) remember(turned.value)
  if (start && start.value !== 'si') {
    start.checked = true
    apply(start.value as System)
  }
}

function remembered(): string | null {
  try {
    return localStorage.getItem(KEY)
  } catch {
    return null
  }
}

function remember(system: string): void {
  try {
    localStorage.setItem(KEY, system)
  } catch {
    // A page from disk may be refused storage: the choice then lasts as long as the page.
  }
}

function apply(system: System): void {
  document.documentElement.dataset.units = system
  const unitOf = (quantity: string): string => QUANTITIES[quantity as Quantity][system].unit
  for (const element of document.querySelectorAll<HTMLElement>('data[data-as], text[data-as], tspan[data-as]')) {
    const first = firstOf(element, element.textContent)
    const { as = '', value = element.getAttribute('value'), withUnit } = element.dataset
    const unit = withUnit === undefined ? '' : ` ${unitOf(writingOf(as).quantity)}`
    element.textContent = system === 'si' ? first : written(Number(value), as, system) + unit
  }
  for (const element of document.querySelectorAll<HTMLElement>('[data-label]')) {
    const first = firstOf(element, element.getAttribute('aria-label'))
    const pieces: LabelPiece[] = JSON.parse(element.dataset.label ?? '[]')
    const inUnits = pieces.map((piece) => {
      if (typeof piece === 'string') return piece
      return 'unit' in piece ? unitOf(piece.unit) : written(...piece, system)
    })
    element.setAttribute('aria-label', system === 'si' ? first : inUnits.join(''))
  }
  for (const element of document.querySelectorAll<HTMLElement>('[data-unit]')) {
    element.textContent = unitOf(element.dataset.unit ?? '')
  }
  rewriteAxes(system)
  document.dispatchEvent(new Event('units'))
}

function firstOf(element: Element, now: string | null): string {
  const first = atFirst.get(element) ?? now ?? ''
  atFirst.set(element, first)
  return first
}
