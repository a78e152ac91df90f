import { fixed } from '../../base/figures.ts'
import { cleaned } from '../../base/names.ts'
import { present } from '../../base/present.ts'
import { plainText, type Sentence } from '../../base/sentence.ts'
import type { Report, ReportRoute, ReportRun } from '../contract.ts'
import { RUN_QUANTITIES } from '../quantities/run-quantities.ts'
import { phraseOf, type RunQuantity, withUnit } from '../quantities/run-quantity.ts'
import { clockTime } from '../words/drives/recordings.ts'
import { type Cell, fitted, GROUND, grid, line, SOFT, tag, text } from './label.ts'
import type { Card, Mark, Typefaces } from './marks.ts'
import { vehicleMark } from './vehicle-mark.ts'
import { windDial } from './wind-dial.ts'

/** The conditions of a run as a strip along the foot of a film, 1920 × 1080 with a clear ground. */
export function wideConditionsCard(run: ReportRun, report: Report, typefaces: Typefaces): Card {
  const route = routeOf(run, report)
  const box = { x: 96, y: 626, width: 1728, height: 400 }
  const [left, right] = [560, 1796]
  const marks: Mark[] = [
    ...tag(box, 'left'),
    ...windDial(350, 836, 138, run, route),
    line('M532 626V1026'),
    fitted(text(left, 692, run.id, 52, { weight: 600 }), 710, typefaces),
    fitted(text(right, 692, vehicleAndSetup(run, report), 40, { anchor: 'end' }), 500, typefaces),
    fitted(text(left, 738, whenInWords(run, report), 30, { color: SOFT }), 570, typefaces),
    fitted(text(right, 738, roadInWords(run, route), 30, { anchor: 'end', color: SOFT }), 640, typefaces),
    line('M532 758H1824'),
    ...grid(conditionCells(run), { x: left, y: 758, width: right - left, height: 220 }, 5, 46, typefaces),
    line('M532 978H1824'),
    fitted(text(left, 1010, foot(report), 23, { color: SOFT }), right - left, typefaces),
  ]
  return { width: 1920, height: 1080, clearAbove: 624, ...alternativeText(run, report), marks }
}

/** The conditions of a run as a square picture, 1080 × 1080, opaque. */
export function squareConditionsCard(run: ReportRun, report: Report, typefaces: Typefaces): Card {
  const route = routeOf(run, report)
  const cells = conditionCells(run)
  const [left, right] = [100, 980]
  const marks: Mark[] = [
    line('M0 0H1080V1080H0z', { fill: GROUND, stroke: null }),
    ...tag({ x: 48, y: 48, width: 984, height: 984 }, 'top'),
    ...vehicleMark(text(right, 140, '', 30, { anchor: 'end', color: SOFT }), report, 420, typefaces),
    fitted(text(left, 208, run.id, 64, { weight: 600 }), right - left, typefaces),
    fitted(text(left, 262, whenInWords(run, report), 35, { color: SOFT }), 560, typefaces),
    fitted(text(right, 262, setupInWords(run), 38, { anchor: 'end' }), 300, typefaces),
    line(`M48 292H1032`),
    ...windDial(280, 476, 132, run, route),
    line('M500 292V652'),
    ...grid(cells.slice(0, 4), { x: 528, y: 292, width: right - 528, height: 360 }, 2, 56, typefaces),
    line('M48 652H1032'),
    ...grid(cells.slice(4), { x: left, y: 652, width: right - left, height: 276 }, 3, 54, typefaces),
    line('M48 928H1032'),
    fitted(text(left, 966, roadInWords(run, route), 28, { color: SOFT }), right - left, typefaces),
    fitted(text(left, 1006, foot(report), 24, { color: SOFT }), right - left, typefaces),
  ]
  return { width: 1080, height: 1080, clearAbove: 0, ...alternativeText(run, report), marks }
}

const routeOf = (run: ReportRun, { routes }: Report): ReportRoute | null =>
  routes.find(({ id }) => id === run.route) ?? null

/** The figures of a card in their places; what is not known gives its place to what it would have replaced. */
function conditionCells(run: ReportRun): Cell[] {
  const placed = RUN_QUANTITIES.flatMap((quantity) => (quantity.card ? [{ quantity, ...quantity.card }] : []))
  const known = placed.filter(({ quantity, insteadOf }) => insteadOf === undefined || quantity.value(run, 'brief'))
  const shown = known.filter(({ quantity }) => !known.some(({ insteadOf }) => insteadOf === quantity.path))
  return shown.toSorted((a, b) => a.place - b.place).map(({ quantity }) => cellOf(quantity, run))
}

/** The value large; its standard deviation, or the quantity that belongs to it, behind it in smaller print. */
function cellOf(quantity: RunQuantity, run: ReportRun): Cell {
  const { short, unit, card } = quantity
  const value = quantity.value(run, 'brief') ?? ['–']
  const turned = card?.opposite === undefined ? null : oppositeOf(value)
  const behind = RUN_QUANTITIES.find(({ path }) => path === card?.behind)
  const deviation = quantity.deviation(run, 'brief')
  return {
    caption: plainText(withUnit(turned?.isOpposite ? present(present(card).opposite) : short, unit)),
    value: plainText(turned?.value ?? value),
    more: deviation ? `± ${plainText(deviation)}` : behind ? plainText(phraseOf(behind, run) ?? []) : '',
  }
}

/** A value without its sign, and whether it is shown as negative. */
function oppositeOf([piece]: Sentence): { value: Sentence; isOpposite: boolean } {
  if (typeof piece === 'string' || !('value' in piece) || piece.value === null)
    return { value: [piece], isOpposite: false }
  const { value, decimals } = piece
  return {
    value: [{ ...piece, value: Math.abs(value), sign: false }],
    isOpposite: Number(value.toFixed(decimals)) < 0,
  }
}

const setupInWords = ({ setup }: ReportRun): string => (setup === null ? 'setup not stated' : `setup: ${setup}`)

function vehicleAndSetup(run: ReportRun, { settings }: Report): string {
  const vehicle = settings.vehicle_name
  return vehicle === null ? setupInWords(run) : `${vehicle}, ${setupInWords(run)}`
}

/** "2026-05-12, 09:10 to 09:44 Europe/Vienna", on the clock of the campaign. */
function whenInWords({ start_time, end_time }: ReportRun, { settings: { time_zone: zone } }: Report): string {
  return `${clockTime(start_time, zone, 'yyyy-MM-dd, HH:mm')} to ${clockTime(end_time, zone)} ${zone ?? 'UTC'}`
}

function roadInWords({ route }: ReportRun, known: ReportRoute | null): string {
  if (route === null) return 'road not known'
  return known ? `${route}, ${known.shape.replaceAll('-', ' ')}` : route
}

const foot = ({ title, version }: Report): string =>
  `${title === null ? '' : `${title}. `}± is one standard deviation; head- and crosswind at the vehicle. ceteris ${version}`

function alternativeText(run: ReportRun, report: Report): { title: string; description: string } {
  const name = report.settings.vehicle_name
  const vehicle = name === null ? '' : `${cleaned(name)}. `
  const setup = run.setup === null ? '' : ` with the setup ${cleaned(run.setup)}`
  return {
    title: `Conditions of the drive ${cleaned(run.id)}`,
    description: `${vehicle}Driven ${whenInWords(run, report)}${setup}, ${fixed(run.distance_m / 1000, 1)} km. ${cleaned(run.conditions)}. The arrow shows the way the wind blows, north is up.`,
  }
}
