/** What the two kinds of tables say: one row each, in SI. */

/** Where a row stands. */
export interface RowPlace {
  line: number
  /** The table; null: the only one of its kind. */
  file: string | null
}

/** A row's place as a problem names it. */
export const placeOfRow = ({ line, file }: RowPlace): { line: number; file?: string } => ({
  line,
  ...(file && { file }),
})

/** "line 5", and of which table where another row is told of that stands in another one. */
export const lineWords = ({ line, file }: RowPlace, beside: RowPlace | null = null): string =>
  file === null || file === beside?.file ? `line ${line}` : `line ${line} of ${file}`

/** Names a row among those of all tables. */
export const rowKey = ({ line, file }: RowPlace): string => `${file ?? ''}\n${line}`

/** One row of runs.csv; every quantity is NaN where the cell is empty. */
export interface RunRow {
  line: number
  /** The table that it was made from, where that is a fuel log or one of several tables of drives; null: runs.csv. */
  file: string | null
  /** As written: file name, or file name + `#n`. */
  track: string
  setup: string | null
  fuelLitres: number
  fuelKg: number
  energyKwh: number
  fuelTemperatureK: number
  tripComputerLitresPer100Km: number
  gaugeMarkM: number
  obdFuelLitres: number
  odometerM: number
  payloadKg: number
  tyrePressurePa: number
  accessoriesW: number
  /** State of charge at the drive's begin and end, 0 to 1. */
  socBefore: number
  socAfter: number
  fillGroup: string | null
  /** The driver's own note of the conditions. */
  temperatureK: number
  relativeHumidity: number
  windSpeedMps: number
  windFromDeg: number
  /** The driver's note of the road, as written: wet or dry; or null. */
  roadWet: string | null
  /** Where the drive begins and ends in its recording, as written: a clock time, an instant or a distance; or null. */
  from: string | null
  to: string | null
  /** `no`: the recording is one drive, whatever is found in it. */
  split: string | null
  /** Where the engine was off while standing, as written: windows or minutes; or null. */
  engineOff: string | null
  /** Windows that are cut out of the drive, as written (a ferry, a train, a charging stop); or null. */
  without: string | null
  /** `yes`: made with the campaign's vehicle, whatever its motion looks like; `no`: with another. */
  testVehicle: string | null
  /** What the vehicle is called, where several drove; or null. */
  vehicle: string | null
  /** `yes`: of the control vehicle, which is not changed and drives at the same time as the test vehicle. */
  control: string | null
  /** A reason to leave the run out, or null. */
  exclude: string | null
  note: string | null
  photo: string | null
  /**
   * When the drive was, by the columns date and time: seconds since 1970 UTC, of a day its begin and end; null: not said.
   * `isZoned`: the table itself says in which zone.
   */
  when: { fromTime: number; toTime: number; isZoned?: boolean } | null
  /** A consumption that was measured, l/100 km: fuel over the distance of the row, or of the track. */
  consumptionLitresPer100Km: number
  /** Columns that are not known, as they are written. */
  extra: { name: string; text: string }[]
}

/** One row of a fuel log: a fill at a pump, or a charge. Every quantity is NaN where the cell is empty. */
export interface FillRow {
  line: number
  /** The log that it stands in, where there are several; null: the only one. */
  file: string | null
  /** When it was made, seconds since 1970 UTC; of a row with a date alone the begin and the end of that day. */
  fromTime: number
  toTime: number
  odometerM: number
  /** Driven since the fill before. */
  tripM: number
  fuelLitres: number
  fuelKg: number
  /** At the meter of the charger. */
  energyKwh: number
  /** Into the battery, as the vehicle says. */
  batteryEnergyKwh: number
  fuelTemperatureK: number
  /** State of charge, 0 to 1. */
  socBefore: number
  socAfter: number
  /** Whether it was filled to the same level as always; null: not said. */
  full: boolean | null
  /** Whether a fill before this one is not in the log. */
  missed: boolean | null
  pump: string | null
  /** What was fitted since the fill before. */
  setup: string | null
  /** As written. */
  price: string | null
  note: string | null
  photo: string | null
}
