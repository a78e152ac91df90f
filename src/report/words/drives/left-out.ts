import { name, type Sentence } from '../../../base/sentence.ts'
import type { ReportClaim } from '../../contract.ts'
import { impossibleWords } from '../checks/claim-problems.ts'

export type LeftOutWhy = ReportClaim['left_out'][number]['why']

const WORDS: Record<Exclude<LeftOutWhy['code'], 'stated' | 'impossible-fuel'>, string> = {
  part: 'it covers only a part of the road',
  detour: 'it left the road for a detour',
  wet: 'its road was wet, the baseline’s was dry',
  dry: 'its road was dry, the baseline’s was wet',
  'no-fuel': 'its consumption is not given',
  'no-conditions': 'its wind or temperature is not known',
  'other-vehicle': 'it is taken to be another vehicle’s',
  'other-unit': 'its consumption is in another unit than that of the other drives, or its distance is not known',
}

/** Why a drive does not count in a claim, as the end of a sentence. */
export function leftOutWords(why: LeftOutWhy): Sentence {
  if (why.code === 'stated') return [name(why.note)]
  if (why.code !== 'impossible-fuel') return [WORDS[why.code]]
  const { distance_m: distanceM, per_100_km: per100Km, ...rest } = why
  return [`its consumption cannot be right: ${impossibleWords({ ...rest, distanceM, per100Km })}`]
}
