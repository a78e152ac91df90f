import { fixed } from '../../../base/figures.ts'
import { listing, name, type Sentence, say } from '../../../base/sentence.ts'
import { lineWords } from '../../../read/runs/rows.ts'

/** Why the fuel between two fills is not held against drives. */
export type LogReasonFacts =
  | { code: 'fill-missed' | 'odometer-backwards' | 'no-drives' | 'all-left-out' | 'beside-fuel' }
  | { code: 'setups-mixed' | 'setups-differ'; setups: string[] }
  | { code: 'fill-during-drive' | 'fill-time-unclear'; run: string | null; line: number; file: string | null }
  | { code: 'other-driving-not-recorded'; unrecordedM: number; recordedM: number; by: 'odometer' | 'places' }
  | { code: 'recorded-more-than-odometer'; recordedM: number; odometerM: number }
  | { code: 'own-fuel'; run: string; line: number; file: string | null }

const km = (metres: number): string => `${fixed(metres / 1000, 1)} km`

/** In a sentence without its full stop. */
export function logReasonWords(reason: LogReasonFacts): Sentence {
  switch (reason.code) {
    case 'fill-missed':
      return ['a fill in between is not in the log']
    case 'odometer-backwards':
      return ['the odometer reads less at the second fill than at the first']
    case 'no-drives':
      return ['no drive was recorded between these fills']
    case 'all-left-out':
      return ['every drive between these fills is excluded from claims']
    case 'beside-fuel':
      return ['a plug-in hybrid: this electricity counts with the fuel between two fills of fuel']
    case 'setups-mixed':
      return say`the log names different setups between these fills: ${listing(reason.setups.map(name))}`
    case 'setups-differ':
      return say`between these fills the vehicle was driven with ${listing(reason.setups.map(name))}: the fuel cannot be told apart`
    case 'fill-during-drive':
      return say`by the clocks the fill of ${lineWords(reason)} was made in the midst of ${reason.run === null ? 'recorded driving' : name(reason.run)}`
    case 'fill-time-unclear':
      return say`of the fill of ${lineWords(reason)} only the day is known, and ${reason.run === null ? 'other driving' : name(reason.run)} was driven on that day`
    case 'other-driving-not-recorded':
      return reason.by === 'odometer'
        ? [`${km(reason.unrecordedM)} were driven that were not recorded, beside ${km(reason.recordedM)} that were`]
        : [
            `the recordings do not join: at least ${km(reason.unrecordedM)} were driven between them, beside ${km(reason.recordedM)} that were recorded`,
          ]
    case 'recorded-more-than-odometer':
      return [
        `the recordings are ${km(reason.recordedM)} long, by the odometer only ${km(reason.odometerM)} were driven`,
      ]
    case 'own-fuel':
      return say`the drive ${name(reason.run)} has fuel in line ${reason.line} of ${reason.file ?? 'runs.csv'}; that counts, and not the log`
  }
}

/** What would make it usable; null where nothing does. */
export function logReasonHint(reason: LogReasonFacts): Sentence | null {
  switch (reason.code) {
    case 'setups-mixed':
    case 'setups-differ':
      return ['Fill up whenever you change the setup.']
    case 'fill-during-drive':
      return [
        'Does the log show local time? Write time_zone: into campaign.yaml, or write the time with its offset, such as 2026-05-04T17:20+02:00.',
      ]
    case 'fill-time-unclear':
      return ['Write the time of the fill beside the date: 2026-05-04T17:20.']
    case 'other-driving-not-recorded':
      return ['Record all driving between two fills, or fill up before and after the drives that count.']
    case 'odometer-backwards':
      return ['If the column holds the distance since the fill before, name it trip_km.']
    default:
      return null
  }
}
