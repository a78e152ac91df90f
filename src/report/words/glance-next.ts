import { fixed } from '../../base/figures.ts'
import { listing, name, type Sentence, say } from '../../base/sentence.ts'
import type { DataDoubt } from '../data-doubts.ts'
import type { Next } from '../glance-answers.ts'
import type { Used } from './used.ts'

/**
 * What to do next, and what it brings.
 * @param used whether the report is about fuel or energy
 */
export function nextWords(
  { code, setups, widths, dryRoad, doubt, meant }: Next,
  used: Used,
): { answer: Sentence; more: Sentence } {
  const names = listing(setups.map((setup) => say`"${name(setup)}"`))
  const dry = dryRoad ? ', on a dry road' : ''
  const more: Sentence =
    widths === null
      ? []
      : [
          `The 95 % interval would narrow from ${fixed(widths.before, 1)} to ${fixed(widths.after, 1)} percentage points.`,
        ]
  switch (code) {
    case 'more-drives':
      return { answer: say`Drive once more each with ${names}${dry}.`, more }
    case 'another-day':
      return { answer: say`Repeat ${names} on another day${dry}.`, more }
    case 'remove-drift':
      return {
        answer: say`The baseline drifts: find the cause, or drive ${names} before and after each change.`,
        more: ['The option --correct-drift takes a steady drift out.'],
      }
    case 'add-missing':
      return { answer: say`Complete the drives with ${names}: each needs its setup, ${used} and weather.`, more }
    case 'check-data':
      return { answer: doubt === null ? [] : doubtWords(doubt), more: ['See Problems.'] }
    case 'drive-setup':
      return { answer: say`Drive the same road with ${names}${dry}.`, more }
    case 'correct-baseline':
      return {
        answer:
          meant === null
            ? say`Correct the baseline in campaign.yaml, or drive this road with it: no drive has the setup ${names}.`
            : say`Correct the baseline in campaign.yaml: no drive has the setup ${names}. Did you mean "${name(meant)}"?`,
        more,
      }
    case 'add-fuel':
      return { answer: [`Write the setup and the ${used} of each drive into runs.csv.`], more }
    case 'settle-evidence':
      return { answer: [`Find out why the readings of the ${used} disagree.`], more }
    default:
      return { answer: [NEXT_WORDS[code]], more }
  }
}

/** "Check and correct fuel.csv, line 4: the odometer does not fit the tracks." */
const doubtWords = ({ code, path, line }: DataDoubt): Sentence =>
  say`Check and correct ${name(path)}${line === null ? '' : `, line ${line}`}: ${DOUBT_WORDS[code]}.`

const DOUBT_WORDS: Record<DataDoubt['code'], string> = {
  'fuel-level': 'the consumption does not fit the drives’ energy demand',
  'temperature-unit-doubtful': 'the temperatures are probably in another unit',
  'weather-zone-doubtful': 'its times are probably those of another time zone',
  'track-place-doubtful': 'its positions are probably wrong',
  'station-place-doubtful': 'the place of a station is probably wrong',
  'charge-doubtful': 'the states of charge do not fit the drives',
  'odometer-off': 'the odometer does not fit the tracks',
  'odometer-disagrees': 'the odometer does not fit the track',
  'fuel-level-of-drive': 'the consumption of one drive does not fit the others',
  'trip-computer-level': 'the trip computer does not fit the fuel',
}

type PlainStep = Exclude<
  Next['code'],
  | 'more-drives'
  | 'another-day'
  | 'remove-drift'
  | 'add-missing'
  | 'drive-setup'
  | 'correct-baseline'
  | 'check-data'
  | 'add-fuel'
  | 'settle-evidence'
>

const NEXT_WORDS: Record<PlainStep, string> = {
  'add-tracks': 'Put at least two tracks with times into the folder, each of one drive of the same road.',
  'same-road': 'Drive one road in one direction each time.',
  'add-weather': 'Add weather for these days: reports of a station near the road, or your own note in runs.csv.',
  'add-setups': 'Write the setup of each drive into runs.csv, and the baseline into campaign.yaml.',
  'say-wet': 'Write for each drive wet or dry into the column road_wet of runs.csv.',
  'state-vehicle': 'State the vehicle: its class, or its mass and drag area.',
  'weigh-the-fuel': 'Weigh the fuel instead of reading the pump.',
  'longer-route': 'Repeat on a road twice as long.',
  'nearer-anemometer': 'Measure the wind beside the road.',
  publish: 'Publish the statement: nothing is missing.',
}
