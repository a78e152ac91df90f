import { fixed, signed } from '../../base/figures.ts'
import { plainText, type Sentence } from '../../base/sentence.ts'
import { bestWindows, rankedSlots, type Slot } from '../../plan/windows.ts'
import {
  clock,
  day,
  differenceWords,
  local,
  notForecastWords,
  STRIPS_WORDS,
  slotRemarks,
  type WindowsSubject,
  windowsAdvice,
  windowsTitle,
  windowsWords,
} from '../../report/words/plans/windows.ts'
import type { Wrap } from './repeats-text.ts'

/** The plan as text for a terminal. */
export function windowsText(
  slots: Slot[],
  subject: WindowsSubject,
  rows: number,
  wrap: Wrap = (text) => [text],
): string {
  const lines = (sentences: Sentence[]): string[] => sentences.flatMap((sentence) => wrap(plainText(sentence)))
  return [
    ...lines(windowsTitle(subject)),
    '',
    ...lines([...windowsWords(bestWindows(slots), subject), ...windowsAdvice(subject)]),
    '',
    'rank  start             score  difference (90 % interval)   wind  headwind  temp  sun   remarks',
    ...rankedSlots(slots)
      .slice(0, rows)
      .map((slot, i) => rowOf(slot, i + 1, subject)),
    '',
    ...stripsOf(slots, subject),
    '',
  ].join('\n')
}

function rowOf(slot: Slot, rank: number, subject: WindowsSubject): string {
  const start = `${day(slot.startTime, subject)} ${clock(slot.startTime, subject)}`.padEnd(16)
  const head = `${String(rank).padStart(4)}  ${start}`
  const d = slot.difference
  if (!d) return `${head}      –  ${plainText(notForecastWords(slot, subject))}`
  return [
    head,
    String(Math.round(d.score)).padStart(5),
    differenceWords(d).padEnd(27),
    `${fixed(slot.windMps, 1)} m/s`.padStart(7),
    (Number.isFinite(slot.headwindMps) ? signed(slot.headwindMps, 1) : '–').padStart(7),
    `${Math.round(slot.temperatureK - 273.15)}°`.padStart(5),
    `${Math.round(slot.sunAltitudeDeg)}°`.padStart(4),
    ` ${slotRemarks(slot, subject)}`,
  ]
    .join(' ')
    .trimEnd()
}

const LEVELS = '▁▂▃▄▅▆▇█'
const DAY_WIDTH = 12

/** A strip for each day under a scale of its hours: the score as a bar, and the light and rain below it. */
function stripsOf(slots: Slot[], subject: WindowsSubject): string[] {
  const days = new Map<string, Slot[]>()
  for (const slot of slots) {
    const key = day(slot.startTime, subject)
    days.set(key, [...(days.get(key) ?? []), slot])
  }
  const bar = ({ difference }: Slot): string =>
    difference ? LEVELS[Math.min(LEVELS.length - 1, Math.floor((difference.score / 100) * LEVELS.length))] : '?'
  const light = ({ rain, phase }: Slot): string =>
    rain ? 'r' : phase === 'night' ? 'n' : phase === 'twilight' ? 't' : '·'
  const stepS = slots.length > 1 ? slots[1].startTime - slots[0].startTime : 3600
  // Where the clocks change, a day has 23 or 25 hours: the place in the strip is the time gone by since its midnight.
  const place = (timeS: number): number => (timeS - local(timeS, subject).startOf('day').toSeconds()) / stepS
  const scale = [0, 6, 12, 18]
    .map((hour) =>
      String(hour)
        .padStart(2, '0')
        .padEnd((6 * 3600) / stepS),
    )
    .join('')
    .trimEnd()
  const head = ' '.repeat(DAY_WIDTH)
  const lines = [...days].flatMap(([name, of]) => {
    const before = ' '.repeat(Math.round(place(of[0].startTime)))
    return [`${name.padEnd(DAY_WIDTH)}${before}${of.map(bar).join('')}`, `${head}${before}${of.map(light).join('')}`]
  })
  return [STRIPS_WORDS, `${head}${scale}`, ...lines]
}
