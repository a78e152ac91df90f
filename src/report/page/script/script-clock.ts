import { type ClockForm, utcText } from '../clock-forms.ts'
import { choose, chosen } from './script-address.ts'

/** What stood in an element when the page was loaded, on the clock of the drives. */
const atFirst = new WeakMap<Element, string>()

/** The switch of clocks: shows every moment on the clock of the drives or in UTC, and keeps the choice in the address. */
export function clockSwitch(): void {
  const radios = [...document.querySelectorAll<HTMLInputElement>('input[name="clock"]')]
  if (radios.length === 0) return
  for (const radio of radios) {
    radio.addEventListener('change', () => {
      choose('clock', radio.value === 'utc' ? 'utc' : '')
      showMoments(isUtc())
    })
  }
  document.addEventListener('rewritten', () => {
    if (isUtc()) showMoments(true)
  })
  const turned = radios.find(({ checked, defaultChecked }) => checked && !defaultChecked)
  if (turned) choose('clock', turned.value)
  if (!isUtc()) return
  for (const radio of radios) radio.checked = radio.value === 'utc'
  showMoments(true)
}

const isUtc = (): boolean => chosen('clock') === 'utc'

function showMoments(utc: boolean): void {
  for (const element of document.querySelectorAll<HTMLElement | SVGElement>(
    '[data-clock], [data-clock-name], [data-utc]',
  )) {
    const local = atFirst.get(element) ?? element.textContent ?? ''
    atFirst.set(element, local)
    const { clock, time = '', utc: whole = 'UTC' } = element.dataset
    element.textContent = utc ? (clock ? utcText(time, clock as ClockForm) : whole) : local
  }
}
