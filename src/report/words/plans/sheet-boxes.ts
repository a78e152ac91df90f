import type { System } from '../../../base/quantities.ts'

/** A box of the sheet, for each drive: what is written there, and the column of runs.csv into which it is typed. */
export interface SheetBox {
  label: string
  unit: string | null
  column: string
  /** How the column is made of the box, where it is not simply copied. */
  how: string | null
  widthMm: number
  /** A sheet on a narrow page has two tables. */
  where: 'vehicle' | 'fuel and air'
}

type Way = 'pump' | 'chained' | 'any-pump' | 'scale' | 'logged' | 'battery'

interface Units {
  volume: [unit: string, column: string]
  mass: [unit: string, column: string]
  distance: [unit: string, column: string]
  temperature: [unit: string, column: string]
  speed: [unit: string, column: string]
  pressure: [unit: string, column: string]
}

const UNITS: Record<System, Units> = {
  si: {
    volume: ['l', 'l'],
    mass: ['kg', 'kg'],
    distance: ['km', 'km'],
    temperature: ['°C', 'c'],
    speed: ['m/s', 'mps'],
    pressure: ['bar', 'bar'],
  },
  us: {
    volume: ['US gal', 'gal_us'],
    mass: ['lb', 'lb'],
    distance: ['mi', 'mi'],
    temperature: ['°F', 'f'],
    speed: ['mph', 'mph'],
    pressure: ['psi', 'psi'],
  },
  imperial: {
    volume: ['imp gal', 'gal_imp'],
    mass: ['kg', 'kg'],
    distance: ['mi', 'mi'],
    temperature: ['°C', 'c'],
    speed: ['mph', 'mph'],
    pressure: ['psi', 'psi'],
  },
}

/** The boxes of the sheet behind the number of the drive, from left to right. */
export function sheetBoxes(system: System, way: Way): SheetBox[] {
  const { distance, temperature, speed, mass, pressure } = UNITS[system]
  const vehicle = boxesOf('vehicle', [
    ['Setup', null, 'setup', 24],
    ['Start', 'time', 'time', 13],
    ['End', 'time', 'note', 13, 'write it behind “end”; it is there to know the drive by'],
    ['Odometer at start', distance[0], `odometer_${distance[1]}`, 17, 'end minus start: the distance of this drive'],
    ['Odometer at end', distance[0], `odometer_${distance[1]}`, 17, 'end minus start: the distance of this drive'],
    ['Load', mass[0], `payload_${mass[1]}`, 11, 'what is carried beyond the mass_kg of campaign.yaml'],
    ['Tyres, cold', pressure[0], `tyre_pressure_${pressure[1]}`, 13],
  ])
  const air = boxesOf('fuel and air', [
    ['Air', temperature[0], `temperature_${temperature[1]}`, 11],
    ['Wind', speed[0], `wind_speed_${speed[1]}`, 12, 'only a wind as at 10 m above ground; see “By the road”'],
    ['Wind from', 'degrees', 'wind_from_deg', 14, 'where it comes from: 0 or 360 north, 90 east'],
    ['Road wet?', 'yes, no', 'note', 11, 'write “road wet”; a wet road is not calculated'],
    ['Remarks', null, 'note', 36],
  ])
  return [...vehicle, ...fuelBoxes(UNITS[system], way), ...air]
}

type Row = [label: string, unit: string | null, column: string, widthMm: number, how?: string]

const boxesOf = (where: SheetBox['where'], rows: Row[]): SheetBox[] =>
  rows.map(([label, unit, column, widthMm, how]) => ({ label, unit, column, widthMm, how: how ?? null, where }))

function fuelBoxes({ volume, mass, temperature }: Units, way: Way): SheetBox[] {
  if (way === 'scale') {
    const how = 'at start minus at end, and what was added on the way'
    return boxesOf('fuel and air', [
      ['Can at start', mass[0], `fuel_${mass[1]}`, 16, how],
      ['Can at end', mass[0], `fuel_${mass[1]}`, 16, how],
    ])
  }
  if (way === 'battery') {
    return boxesOf('fuel and air', [
      ['Charged after', 'kWh', 'energy_kwh', 15, 'by the meter of the charger'],
      ['Battery at start', '%', 'soc_before_pct', 14],
      ['Battery at end', '%', 'soc_after_pct', 14],
      ['Charger', 'no.', 'note', 14],
    ])
  }
  const amount: Row =
    way === 'logged'
      ? ['Fuel by the logger', 'l', 'obd_fuel_l', 15]
      : ['Fuel filled', volume[0], `fuel_${volume[1]}`, 15, 'the fill after the drive, all digits of the pump']
  return boxesOf('fuel and air', [
    amount,
    [
      'Full?',
      'yes, no',
      'note',
      11,
      'if no: leave the fuel empty here, and type the fill into fills.csv with its column full',
    ],
    ['Pump', 'no.', 'fill_group', 11, 'the same word for drives in one unbroken chain of fills at one pump'],
    ['Fuel temp.', temperature[0], `fuel_temperature_${temperature[1]}`, 13],
  ])
}

/**
 * The columns of runs.csv that the sheet fills, each once. `track` comes first, so that the table is known for one of
 * drives; a row whose track is empty is found by its date and time.
 */
export const sheetColumns = (boxes: readonly SheetBox[]): string[] => [
  ...new Set([
    'track',
    'date',
    'time',
    ...boxes.map(({ column }) => column).filter((column) => column !== 'note'),
    'note',
  ]),
]
