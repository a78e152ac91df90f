import { endBeside, fixed, signed } from '../../base/figures.ts'
import { figure, joined, listing, name, percentSize, type Sentence, say } from '../../base/sentence.ts'
import type { ReportPair } from '../contract.ts'

/** A pair's codes and figures, before anything is said of it. */
export type PairFacts = Omit<ReportPair, 'reason' | 'remarks'>

/** What a pair's reason takes from the rest of the report. */
export interface PairContext {
  marginPct: number
  /** Names of the roads of the pair's first and second drive. */
  roads: readonly [a: string, b: string]
}

const MISSING_WORDS: Record<PairFacts['missing'][number], string> = {
  weather: 'no weather observation is within reach',
  wind: 'no wind observation is within reach',
  temperature: 'no temperature observation is within reach',
  demand: 'the observed wind alone would drive the vehicle, so it would need no energy',
}

const OUTSIDE_WORDS: Record<NonNullable<PairFacts['outside_model']>, string> = {
  'wet-and-dry': 'one road was wet, the other dry',
}

/** Why a pair has its verdict, in one sentence. */
export function pairReason(pair: PairFacts, { marginPct, roads }: PairContext): Sentence {
  switch (pair.cause) {
    case 'other-road':
      return say`Different roads: ${name(roads[0])} and ${name(roads[1])}.`
    case 'opposite-direction':
      return ['The same road in opposite directions: never compared.']
    case 'detour':
      return ['One drive left the road for a detour that the other did not take.']
    case 'incomplete-road':
      return [`Both recordings share only ${roadShare(pair)} of the road: one starts late, ends early or has a gap.`]
    case 'missing':
      return say`Cannot be judged: ${listing(pair.missing.map((what) => MISSING_WORDS[what]))}.`
    case 'outside-model':
      return [`Not comparable: ${outsideWords(pair)}, and the model cannot correct for that.`]
    default:
      return [figuresReason(pair, marginPct)]
  }
}

/** Why a pair that was judged by its difference has its verdict at a margin. */
export const figuresReason = (
  pair: Pick<PairFacts, 'difference_pct' | 'verdict' | 'cause'>,
  marginPct: number,
): string => `${conditionsWords(pair, marginPct)}${judgementWords(pair, marginPct)}`

/** "85 %" of the road. */
const roadShare = ({ common_share }: PairFacts): string => percentSize(100 * (common_share ?? 0))

/** "one road was wet, the other dry". */
export const outsideWords = ({ outside_model }: PairFacts): string =>
  outside_model === null ? 'a condition differs that is not in the model' : OUTSIDE_WORDS[outside_model]

function conditionsWords({ difference_pct: d }: Pick<PairFacts, 'difference_pct'>, marginPct: number): string {
  if (d === null) return 'The difference is not known'
  return `Conditions account for ${signedOrZero(d.mean)} % (90 % interval ${endsAtMargin(d, marginPct)} %)`
}

function judgementWords(pair: Pick<PairFacts, 'verdict' | 'cause'>, marginPct: number): string {
  if (pair.verdict === 'comparable') return `, within ±${marginPct} %.`
  if (pair.verdict === 'adjustable') return `: not within ±${marginPct} %, but known well enough to correct for.`
  if (pair.cause === 'too-large') return ': too large to correct for.'
  return pair.cause === 'surely-different'
    ? `: outside ±${marginPct} % and too uncertain to correct for.`
    : `: too uncertain to judge at ±${marginPct} %.`
}

type Difference = NonNullable<ReportPair['difference_pct']>

/** "−1.5 to +2.1": the ends of an interval, rounded so that it shows on which side of the margin they lie. */
export const endsAtMargin = ({ low90, high90 }: Difference, marginPct: number): string =>
  `${endBeside(marginPct, low90)} to ${endBeside(marginPct, high90)}`

/** A difference that rounds to nothing is a plain 0. */
const signedOrZero = (value: number): string => (Number(value.toFixed(1)) === 0 ? '0' : signed(value, 1))

const bar = (pascals: number): string => fixed(pascals / 1e5, 2)

/** A difference that the model does not hold, in a sentence or two. */
export function pairRemark(remark: PairFacts['remark_codes'][number]): Sentence {
  switch (remark.code) {
    case 'both-wet':
      return ['Both roads were wet: rolling resistance on a wet road is higher, and that is not in the model.']
    case 'wetness-unknown':
      return ['Road wet or dry: not reported.']
    case 'recordings-overlap':
      return ['The two recordings overlap in time.']
    case 'phase':
      return [
        `One drive was by ${remark.a}, the other by ${remark.b}: lights and a road warmed by the sun are not in the model.`,
      ]
    case 'tyre-pressure':
      return [`Tyre pressures differ: ${bar(remark.a)} and ${bar(remark.b)} bar. This changes rolling resistance.`]
    case 'accessories':
      return [`Accessories differ: ${remark.a} W and ${remark.b} W. The model corrects for the power.`]
    case 'payload':
      return say`Payloads differ: ${figure(remark.a, 'mass', 0)} and ${figure(remark.b, 'mass', 0)}. The model corrects for the mass.`
    case 'standing-share':
      return [
        `Traffic differs: the vehicle stood still for ${percentSize(100 * remark.a)} of the time in one drive and ${percentSize(100 * remark.b)} in the other. With a cold engine or automatic stop, stops count differently than in the model.`,
      ]
  }
}

/** "11 pairs share only 85 to 86 % of the road": reasons of one kind together; null for a pair judged by its figures. */
export function reasonsTogether(pairs: readonly PairFacts[], count: (n: number) => string): Sentence | null {
  const { cause } = pairs[0]
  const many = count(pairs.length)
  switch (cause) {
    case 'detour':
      return [`${many}: one drive left the road for a detour.`]
    case 'incomplete-road': {
      const shares = pairs.map(({ common_share }) => 100 * (common_share ?? 0))
      const [low, high] = [Math.min(...shares), Math.max(...shares)].map((share) => fixed(share, 0))
      const range = low === high ? `${low} %` : `${low} to ${high} %`
      return [`${many} ${pairs.length === 1 ? 'shares' : 'share'} only ${range} of the road.`]
    }
    case 'outside-model':
      return joined([`${many}: ${outsideWords(pairs[0])}, and the model cannot correct for that.`])
    default:
      return null
  }
}
