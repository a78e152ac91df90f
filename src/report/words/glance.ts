import { fixed, signed } from '../../base/figures.ts'
import { listing, name, plainText, type Sentence, say } from '../../base/sentence.ts'
import type { Report, ReportClaim } from '../contract.ts'
import { type Compared, type Glance, glanceOf, type Helped, type Reservation } from '../glance.ts'
import { plural } from '../words.ts'
import type { Interval95 } from './claims/changes.ts'
import { missingWords } from './claims/claim-reasons.ts'
import { drivesWords } from './claims/claims.ts'
import { useInBrief } from './drives/drive-use.ts'
import { nextWords } from './glance-next.ts'

/** A question of the reader, its answer with its reservation in one sentence, and what else is worth a line. */
export interface GlanceLine {
  question: string
  answer: Sentence
  more: Sentence
}

/** What a claim says, for a line or a picture of its own. */
export interface ClaimAtAGlance {
  /** "bars", on its road where there are several. */
  name: Sentence
  /** "6.0 % less fuel (2.9 to 9.1 %)"; empty where nothing was measured. */
  change: Sentence
  /** "1 drive against 3". */
  drives: string
  /** "yes, but it rests on one drive". */
  verdict: Sentence
}

/** The first lines of a report, wherever it is told. */
export interface GlanceWords {
  compare: GlanceLine
  helped: GlanceLine
  claims: ClaimAtAGlance[]
  next: GlanceLine
}

/** Says the three answers of a report. */
export function glanceWords(report: Report, glance: Glance = glanceOf(report)): GlanceWords {
  return {
    compare: { question: 'Can I compare?', ...compareWords(glance.compare, report) },
    helped: { question: 'Did it help?', ...helpedWords(glance) },
    claims: glance.helped.map((one) => claimAtAGlance(one, report)),
    next: { question: 'What next?', ...nextWords(glance.next) },
  }
}

type Said = Omit<GlanceLine, 'question'>

function compareWords({ level, drives, asMeasured, corrected }: Compared, report: Report): Said {
  const used = asMeasured + corrected
  const how = [
    ...(asMeasured > 0 ? [`${asMeasured} as measured`] : []),
    ...(corrected > 0 ? [`${corrected} after correction`] : []),
  ].join(', ')
  switch (level) {
    case 'too-few':
      return drives === 0
        ? { answer: ['Not yet: no drive could be read.'], more: [] }
        : { answer: ['Not yet: one drive was read, and a comparison takes two.'], more: [] }
    case 'by-control':
      return {
        answer: ['Yes, by the control vehicle: the ratio of the fuel answers without recorded drives.'],
        more: [],
      }
    case 'not-known':
      return { answer: [`Cannot be told: no weather is known for any of the ${drives} drives.`], more: [] }
    case 'no':
      return { answer: [`No: no two of the ${drives} drives can be used.`], more: excludedWords(report) }
    case 'yes':
      return { answer: [`Yes: all ${drives} drives can be used.`], more: [`${how}.`] }
    default:
      return {
        answer: [
          `${used} of ${drives} drives can be used${corrected > 0 && asMeasured === 0 ? ', after correction' : ''}.`,
        ],
        more: say`${how}. ${excludedWords(report)}`,
      }
  }
}

/** "Excluded: 1 (wet road), 2 (no fuel)." */
function excludedWords({ runs }: Report): Sentence {
  const counts = new Map<string, number>()
  for (const { use } of runs) {
    if (use.as !== 'left-out') continue
    const reason = plainText(useInBrief(use))
    counts.set(reason, (counts.get(reason) ?? 0) + 1)
  }
  if (counts.size === 0) return []
  const told = [...counts].sort(([, a], [, b]) => b - a).map(([reason, count]) => `${count} (${reason})`)
  return [`Excluded: ${told.join(', ')}.`]
}

const NO_CLAIM_WORDS: Record<NonNullable<Glance['noClaim']>, string> = {
  'no-drives': 'Not tested: there are no drives.',
  'no-fuel': 'Not tested: no fuel is given.',
  'no-setups': 'Not tested: no change against a baseline is named.',
}

function helpedWords({ helped, noClaim }: Glance): Said {
  if (noClaim !== null) return { answer: [NO_CLAIM_WORDS[noClaim]], more: [] }
  if (helped.length === 1) return { answer: oneClaimWords(helped[0]), more: otherReservations(helped) }
  return { answer: severalWords(helped), more: otherReservations(helped) }
}

const savesFuel = ({ claim }: Helped): boolean => (claim.adjusted_consumption_change_pct?.estimate ?? 0) < 0
const isShown = ({ level }: Helped): boolean => level === 'shown' || level === 'reserved'

function oneClaimWords(helped: Helped): Sentence {
  const { claim, reservations } = helped
  const change = claim.adjusted_consumption_change_pct
  if (!isShown(helped) || change === null) return notShownWords(helped)
  const [first] = reservations
  const start = `${change.estimate < 0 ? 'Yes' : 'No'}: ${sizeWords(change, fuelOf(claim))}`
  return first === undefined ? [`${start}.`] : say`${start}, but it ${reservationWords(first, claim)}.`
}

/** "6.0 % less fuel". */
const sizeWords = ({ estimate }: Interval95, what: string): string =>
  `${fixed(Math.abs(estimate), 1)} % ${estimate < 0 ? 'less' : 'more'} ${what}`

function severalWords(all: readonly Helped[]): Sentence {
  const shown = all.filter(isShown)
  if (shown.length === 0) return noneShownWords(all)
  if (shown.length < all.length) {
    const names = (some: readonly Helped[]): Sentence => listing(some.map(({ claim }) => say`"${name(claim.setup)}"`))
    const open = all.filter((one) => !isShown(one))
    const but = shown.some(({ level }) => level === 'reserved') ? ', with reservations' : ''
    if (all.length > 3) return [`In part: shown for ${shown.length} of ${all.length} changes${but}.`]
    return say`In part: shown for ${names(shown)}${but}, not yet for ${names(open)}.`
  }
  const less = all.filter(savesFuel).length
  const what = fuelOf(all[0].claim)
  const many = all.length === 2 ? 'both changes' : `all ${all.length} changes`
  const start =
    less === all.length
      ? 'Yes'
      : less === 0
        ? `No: ${many} take more ${what}`
        : `In part: ${less} of ${all.length} changes save ${what}`
  const reserved = all.filter(({ level }) => level === 'reserved')
  if (reserved.length === 0) return [less === all.length ? `${start}: ${many} save ${what}.` : `${start}.`]
  const [{ claim, reservations }] = reserved
  const others = reserved.length - 1
  const rest =
    others === 0
      ? ''
      : `, and ${plural(others, 'other change')} ${others === 1 ? 'has a reservation' : 'have reservations'}`
  return say`${start}, but "${name(claim.setup)}" ${reservationWords(reservations[0], claim)}${rest}.`
}

function noneShownWords(all: readonly Helped[]): Sentence {
  const reasons = new Set(all.map(({ why }) => why))
  if (reasons.size === 1) return notShownWords(all[0])
  return [`Not shown yet: none of the ${all.length} changes.`]
}

function notShownWords({ claim, why }: Helped): Sentence {
  switch (why) {
    case 'missing':
      return say`Cannot be told: ${claim.missing === null ? 'something is missing' : missingWords(claim.missing)}.`
    case 'drift':
      return [
        `Not shown yet: the baseline drifted by ${signed(claim.drift?.change_over_span_pct.estimate ?? null, 1)} %, as much as the change or more.`,
      ]
    case 'large-correction':
      return ['Not shown yet: conditions differed too much to correct for.']
    case 'scatter-grew':
      return ['Not shown yet: correcting makes repeats differ more, so it cannot be relied on.']
    case 'wet-unknown':
      return ['Not shown yet: nobody says whether the roads were dry.']
    case 'conditions':
      return ['Not shown: conditions explain the difference.']
    case 'conditions-possible':
      return ['Not shown yet: conditions may explain the difference.']
    default:
      return ['Not shown yet: it may be no change at all.']
  }
}

/** What a claim suffers from, as the end of a sentence about it. */
function reservationWords({ code, setups }: Helped['reservations'][number], claim: ReportClaim): Sentence {
  const other = setups.filter((setup) => setup !== claim.setup)
  const withOther: Sentence = other.length > 0 ? say` with ${listing(other.map((setup) => say`"${name(setup)}"`))}` : []
  switch (code) {
    case 'single-drive':
      return say`rests on one drive${withOther}`
    case 'single-stint':
      return say`rests on one stint${withOther}`
    case 'drift':
      return [
        `was measured while the baseline drifted by ${signed(claim.drift?.change_over_span_pct.estimate ?? null, 1)} %`,
      ]
    default:
      return [RESERVATIONS[code]]
  }
}

const RESERVATIONS: Record<Exclude<Reservation, 'single-drive' | 'single-stint' | 'drift'>, string> = {
  'evidence-apart': 'rests on readings that disagree',
  'control-apart': 'goes by the control vehicle, with which the model disagrees',
  'no-usable-pair': 'rests on the correction alone: no two drives are comparable',
  'battery-not-known': 'ignores the battery’s charge, which is not known',
  'one-session': 'rests on drives made in one go',
  'drag-exceeded': 'is more than drag alone can give',
  'no-drift-correction': 'could not be corrected for drift',
  'fuel-temperature-partly-read': 'has fuel temperatures of some drives only',
  'large-correction': 'needs a very large correction',
  'scatter-grew': 'has repeats that differ more once corrected',
}

/** How many reservations are not told in the headline. */
function otherReservations(helped: readonly Helped[]): Sentence {
  const of = helped.filter(isShown)
  const told = of.some(({ level }) => level === 'reserved') ? 1 : 0
  const more = of.reduce((sum, { reservations }) => sum + reservations.length, 0) - told
  return more > 0 ? [`${plural(more, 'more reservation')}, told under Claims.`] : []
}

function claimAtAGlance(helped: Helped, { claims }: Report): ClaimAtAGlance {
  const { claim, level, reservations } = helped
  const several = new Set(claims.map(({ route }) => route)).size > 1
  const road = several && claim.route !== null ? say`, ${name(claim.route)}` : null
  const change = claim.adjusted_consumption_change_pct ?? claim.raw_consumption_change_pct
  const measured = claim.adjusted_consumption_change_pct === null ? ', not corrected' : ''
  const verdict =
    level === 'reserved' ? say`shown, but it ${reservationWords(reservations[0], claim)}` : [LEVEL_WORDS[level]]
  return {
    name: say`${name(claim.setup)}${vehicleOf(claim, claims)}${road}`,
    change: change === null ? [] : [`${changeAtAGlance(change, fuelOf(claim))}${measured}`],
    drives: drivesWords(claim),
    verdict,
  }
}

/** " on truck 2", where a control vehicle drove beside several test vehicles. */
function vehicleOf({ control }: ReportClaim, claims: readonly ReportClaim[]): Sentence | null {
  const vehicles = new Set(claims.flatMap((claim) => claim.control?.test_vehicle ?? []))
  const own = control?.test_vehicle ?? null
  return own !== null && vehicles.size > 1 ? say` on ${name(own)}` : null
}

const LEVEL_WORDS: Record<Exclude<Helped['level'], 'reserved'>, string> = {
  shown: 'shown',
  'not-shown': 'not shown yet',
  'not-known': 'cannot be told',
}

const fuelOf = ({ measured_by }: ReportClaim): string => (measured_by.includes('kWh') ? 'energy' : 'fuel')

/** "6.0 % less fuel (2.9 to 9.1 %)", or where zero lies within, "2.1 % less fuel (6.0 % less to 2.0 % more)". */
export function changeAtAGlance({ estimate, low95, high95 }: Interval95, what = 'fuel'): string {
  // An end that would be rounded to zero keeps the digit that says on which side it lies.
  const decimals = [low95, high95].every((end) => Number(Math.abs(end).toFixed(1)) > 0) ? 1 : 2
  const size = (value: number): string => fixed(Math.abs(value), decimals)
  const start = sizeWords({ estimate, low95, high95 }, what)
  if (low95 < 0 && high95 > 0) return `${start} (${size(low95)} % less to ${size(high95)} % more)`
  const [from, to] = low95 < 0 ? [high95, low95] : [low95, high95]
  return `${start} (${size(from)} to ${size(to)} %)`
}
