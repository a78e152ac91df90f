import { fixed } from '../../../base/figures.ts'
import type { System } from '../../../base/quantities.ts'
import { percentSize } from '../../../base/sentence.ts'
import { plural } from '../../words.ts'
import { type SheetBox, sheetBoxes, sheetColumns } from './sheet-boxes.ts'

/** What the words of a sheet for the field are told from; filled by plan/. */
export interface SheetFacts {
  title: string | null
  vehicle: string | null
  fuel: string | null
  road: string | null
  timeZone: string | null
  way: 'pump' | 'chained' | 'any-pump' | 'scale' | 'logged' | 'battery'
  setups: readonly string[]
  drives: readonly string[]
  system: System
  driftShift: number
  forEffect: { effectPct: number; runsPerSetup: number; isEnough: boolean } | null
}

/** The words of a sheet, whatever it is printed as. */
export interface SheetWords {
  heading: string
  title: string | null
  boxes: SheetBox[]
  head: ReturnType<typeof sheetHead>
  order: string[]
  sections: SheetSection[]
  typeIn: TypeInWords
}

export function sheetWords(sheet: SheetFacts): SheetWords {
  const boxes = sheetBoxes(sheet.system, sheet.way)
  return {
    heading: 'Field sheet',
    title: sheet.title,
    boxes,
    head: sheetHead(sheet),
    order: sheetOrderWords(sheet),
    sections: sheetSections(sheet),
    typeIn: typeInWords(boxes),
  }
}

/** The lines at the head; null: it is written by hand. */
function sheetHead(sheet: SheetFacts): [label: string, value: string | null][] {
  return [
    ['Date', null],
    ['Driver', null],
    ['Sheet kept by', null],
    ['Vehicle', sheet.vehicle],
    ['Road', sheet.road],
    ['Times in', sheet.timeZone],
    [sheet.way === 'battery' ? 'Charger' : 'Fuel and pump', sheet.fuel],
    ['Tyres cold, front left / right', null],
    ['Tyres cold, rear left / right', null],
    ['Wind meter: place, height above ground', null],
  ]
}

/** The order of drives, and what a drift does to it. */
function sheetOrderWords({ drives, setups, driftShift, forEffect }: SheetFacts): string[] {
  const each = drives.length === setups.length + 1 ? 1 : drives.length / setups.length
  const drift =
    driftShift < 1e-9
      ? 'A steady drift of weather, tyres or driver cancels in this order.'
      : `If conditions drift steadily (weather, tyres, driver), this order shifts the difference between two setups by up to ${fixed(driftShift, 2)} times the drift from one drive to the next. With an even number of drives of each setup it cancels.`
  const again = each === 1 ? ' The first setup is driven again at the end, which shows the drift.' : ''
  const order = `${plural(drives.length, 'drive')}, in this order. ${drift}${again} Change nothing but the setup. A drive that was disturbed stays on the sheet with its reason; drive it again on a spare line.`
  if (forEffect === null) return [order]
  const { effectPct, runsPerSetup, isEnough } = forEffect
  const sought = `a change of ${percentSize(Math.abs(effectPct), 1)}`
  const number = plural(runsPerSetup, 'drive')
  return [
    order,
    isEnough
      ? `${number} of each setup find ${sought} in 8 of 10 campaigns, as ceteris plan repeats reckons.`
      : `${number} of each setup are too few to find ${sought} in 8 of 10 campaigns; ceteris plan repeats tells what it takes.`,
  ]
}

export interface SheetSection {
  heading: string
  steps: string[]
}

/** What to do before each drive, where the fuel is measured, by the road and after. */
function sheetSections({ way }: SheetFacts): SheetSection[] {
  return [
    {
      heading: 'Before each drive',
      steps: [
        'Tyres: the same pressure, read cold, with the same gauge.',
        'Warm up vehicle and tyres the same way: 20 to 30 minutes at test speed before the first drive that counts.',
        'Lights, air conditioning, heating: off, or the same on every drive. Windows and vents shut.',
        'Same driver, same load, same seat of the passenger.',
        'Check that what was fitted is firmly fixed and hides no light and no plate.',
        'Start the logger and stand for 30 s before you set off. Write down odometer and time.',
        'At the end stand for 30 s again, then stop the logger. Write down time and odometer.',
      ],
    },
    FUEL_SECTIONS[way],
    {
      heading: 'By the road',
      steps: [
        'The driver drives. A passenger writes, or you stop where stopping is allowed; never while driving.',
        'Wind meter at 1.5 m above ground or higher, the higher the better, out of the lee: as far from trees, houses and parked vehicles as ten times their height. Stand to the side of it, away from the traffic.',
        'Read the mean of at least a minute, and where the wind comes from. Read it at start and end, and keep the mean.',
        'Near the ground the wind is weaker than at 10 m. Type what you measured into a weather table with anemometer_height_m; a wind in runs.csv is taken as one at 10 m.',
        'Air temperature in the shade, 1 to 2 m above grass, not above asphalt and not in the vehicle.',
        'Note rain, wet road, traffic, detours and stops under Remarks.',
      ],
    },
  ]
}

const HAZARD = 'Engine off, no flame or spark near; approved pumps and containers only.'
const PUMP: SheetSection = {
  heading: 'At the pump',
  steps: [
    `${HAZARD} Never top up past the cut-off.`,
    'Same pump, same nozzle, vehicle on the same spot facing the same way.',
    'Same setting of the nozzle, fill to the first click and stop.',
    'Write down the amount with all digits, and the number of the pump. Keep the receipt.',
    'Fuel temperature, if you can read it: fuel 10 °C (18 °F) warmer takes about 1 % more volume.',
    'Not filled up? Write “no” under Full.',
  ],
}
const FUEL_SECTIONS: Record<SheetFacts['way'], SheetSection> = {
  pump: { ...PUMP, steps: [...PUMP.steps, 'Fill before the first drive too; each drive begins with a full tank.'] },
  chained: { ...PUMP, steps: [...PUMP.steps, 'Fill before the first drive too; each fill begins the next drive.'] },
  'any-pump': PUMP,
  scale: {
    heading: 'At the scale',
    steps: [
      HAZARD,
      'Same scale, on firm level ground, out of the wind. Check its zero before each weighing.',
      'Weigh the can before and after each drive, with the same cap and hose fitted.',
      'Write down all digits. Weigh a known mass before the first drive and after the last.',
    ],
  },
  logged: {
    heading: 'At the logger',
    steps: [
      'Same logger, same settings, one file for each drive.',
      'Write down its fuel at the end of the drive, before it is switched off.',
      `A fill at the pump before and after the day checks it. ${HAZARD}`,
    ],
  },
  battery: {
    heading: 'At the charger',
    steps: [
      'Same charger, charged to the same level before each drive, the same time before setting off.',
      'Write down the energy by the charger’s meter with all digits, and the charge shown before and after.',
      'Do not touch or use a charger, cable or plug that is damaged.',
    ],
  },
}

/** How the sheet gets into the table of drives. */
const TYPE_IN_WORDS =
  'One row of runs.csv, or of the workbook of ceteris init, for each drive. Leave what you do not know empty. The recording is found by date and time; or write the name of its file into track. All that goes into note is written one after another.'

/** How what stands in the boxes gets into a table. */
interface TypeInWords {
  heading: string
  words: string
  rows: { from: string; column: string; how: string }[]
  /** The first line of such a table. */
  headerLine: string
}

const typeInWords = (boxes: readonly SheetBox[]): TypeInWords => ({
  heading: 'Typing it in',
  words: TYPE_IN_WORDS,
  rows: typeInRows(boxes),
  headerLine: sheetColumns(boxes).join(','),
})

/** Where each box goes: boxes of one column that are made alike stand together. */
function typeInRows(boxes: readonly SheetBox[]): TypeInWords['rows'] {
  const rows: TypeInWords['rows'] = [{ from: 'Date (head of the sheet)', column: 'date', how: 'like 2026-05-12' }]
  for (const { label, column, how } of boxes) {
    const last = rows[rows.length - 1]
    if (how !== null && last.how === how && last.column === column) last.from += `, ${label}`
    else rows.push({ from: label, column, how: how ?? '' })
  }
  return rows
}
