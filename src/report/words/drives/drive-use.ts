import { signed } from '../../../base/figures.ts'
import { percentSpan, type Sentence } from '../../../base/sentence.ts'
import type { ReportRun } from '../../contract.ts'
import { plural } from '../../words.ts'
import { leftOutWords } from './left-out.ts'

export type DriveUse = ReportRun['use']
export type UseFacts = Omit<DriveUse, 'reason'>

/** How a drive's use is written: a sign that needs no colour, and words. */
const USE_WORDS: Record<DriveUse['as'], { sign: string; words: string }> = {
  'as-measured': { sign: '=', words: 'as measured' },
  corrected: { sign: '≈', words: 'corrected' },
  'left-out': { sign: '×', words: 'excluded' },
}

/** Whether a drive is left out for want of another drive alone: nothing is wrong with it. */
export const isAlone = ({ why }: Pick<UseFacts, 'why'>): boolean =>
  why.code === 'no-partner' || why.code === 'no-counterpart'

/** How the use of a drive is written. */
export const useWords = (use: Pick<UseFacts, 'as' | 'why'>): { sign: string; words: string } =>
  isAlone(use) ? { sign: '?', words: 'not used yet' } : USE_WORDS[use.as]

/** Why a drive is used as it is, as a clause. */
export function useReason(use: UseFacts, marginPct: number): Sentence {
  const { why } = use
  switch (why.code) {
    case 'within-margin':
      return [`conditions account for ${differenceWords(use)} against the baseline, within ±${marginPct} %`]
    case 'outside-margin':
      return [`conditions account for ${differenceWords(use)} against the baseline${pairsWords(use)}`]
    case 'uncertain':
      return [
        `conditions account for ${differenceWords(use)} against the baseline, not surely within ±${marginPct} %${pairsWords(use)}`,
      ]
    case 'not-corrected':
      return ['its wind or temperature is not known, so its consumption counts as measured only']
    case 'no-claim':
      return [
        'no claim is made with it: its setup or its consumption is not stated, or its road was not driven both with the baseline and with a change',
      ]
    case 'no-counterpart':
      return ['no drive was made yet that it could be compared with']
    case 'control-vehicle':
      return ['made with the control vehicle: it counts in the ratio of test to control']
    case 'comparable':
      return [`comparable as measured with ${use.usable_pairs} of ${plural(use.pairs, 'other drive')} on its road`]
    case 'adjustable':
      return [`comparable after correction with ${use.usable_pairs} of ${plural(use.pairs, 'other drive')} on its road`]
    case 'not-comparable':
      return ['conditions differ too much from every other drive on its road']
    case 'undecided':
      return ['its conditions are not known well enough']
    case 'wet-and-dry':
      return ['its road was wet where the others’ was dry, or the reverse']
    case 'no-weather':
      return ['its wind or temperature is not known']
    case 'no-partner':
      return ['no other drive took its road in its direction']
    default:
      return leftOutWords(why)
  }
}

/** "+3.1 % (90 % interval +1.9 to +4.4 %)". */
function differenceWords({ difference_pct: d }: UseFacts): string {
  if (d === null) return 'an unknown difference'
  return `${signed(d.mean, 1)} % (90 % interval ${percentSpan(d.low90, d.high90)})`
}

const pairsWords = ({ pairs, usable_pairs }: UseFacts): string =>
  pairs > 1 && usable_pairs === 0 ? '; not comparable with any single baseline drive' : ''

/** The same in two or three words, for a tile. */
export function useInBrief({ why, difference_pct: d }: UseFacts): Sentence {
  switch (why.code) {
    case 'within-margin':
    case 'outside-margin':
    case 'uncertain':
      return d === null ? [] : [`${signed(d.mean, 1)} %`]
    default:
      return [BRIEF[why.code]]
  }
}

const BRIEF: Record<Exclude<DriveUse['why']['code'], 'within-margin' | 'outside-margin' | 'uncertain'>, string> = {
  stated: 'as noted',
  part: 'part of road',
  detour: 'detour',
  wet: 'wet road',
  dry: 'dry road',
  'no-fuel': 'not measured',
  'no-conditions': 'no weather',
  'other-unit': 'other unit',
  'other-vehicle': 'other vehicle',
  'impossible-fuel': 'cannot be right',
  'not-corrected': 'no weather',
  'no-claim': 'no claim',
  'no-counterpart': 'alone',
  'control-vehicle': 'control',
  comparable: '',
  adjustable: '',
  'not-comparable': 'too different',
  undecided: 'too uncertain',
  'wet-and-dry': 'wet or dry',
  'no-weather': 'no weather',
  'no-partner': 'alone',
}
