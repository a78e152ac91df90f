import { signed } from '../../base/figures.ts'
import { listing, name, plainText, type Sentence, say } from '../../base/sentence.ts'
import type { Report } from '../contract.ts'
import { glanceOf } from '../glance.ts'
import type { Compared, Glance, Helped } from '../glance-answers.ts'
import { capital, plural } from '../words.ts'
import { missingWords } from './claims/claim-reasons.ts'
import { isAlone, useInBrief, useWords } from './drives/drive-use.ts'
import { type ClaimAtAGlance, claimAtAGlance, reservationWords, sizeWords } from './glance-claims.ts'
import { nextWords } from './glance-next.ts'
import { type Used, usedIn, usedInClaim } from './used.ts'

/** A question of the reader, its answer with its reservation in one sentence, and what else is worth a line. */
export interface GlanceLine {
  question: string
  answer: Sentence
  more: Sentence
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
    compare: { question: 'Can I compare?', ...compareWords(glance, report) },
    helped: { question: 'Did it help?', ...helpedWords(glance, report) },
    claims: glance.helped.map((one) => claimAtAGlance(one, report)),
    next: { question: 'What next?', ...nextWords(glance.next, usedIn(report)) },
  }
}

type Said = Omit<GlanceLine, 'question'>

function compareWords({ compare: compared, noClaim }: Glance, report: Report): Said {
  const { level, drives, asMeasured, corrected, noPair } = compared
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
        answer: [`Yes, by the control vehicle: the ratio of the ${usedIn(report)} answers without recorded drives.`],
        more: [],
      }
    case 'not-known':
      return { answer: [`Cannot be told: no weather is known for any of the ${drives} drives.`], more: [] }
    case 'no':
      return noClaim !== null && report.runs.some(({ use }) => use.why.code === 'undecided')
        ? uncertainWords(report)
        : { answer: [`No: no two of the ${drives} drives can be used.`], more: excludedWords(report) }
    case 'yes':
      return { answer: [`Yes: all ${drives} drives can be used.`], more: [`${how}.`] }
    default: {
      // Where all are corrected the answer says so itself.
      const more = asMeasured > 0 ? say`${how}. ${excludedWords(report)}` : excludedWords(report)
      if (noPair !== null) return { answer: withoutPair(compared), more }
      return {
        answer: [
          `${used} of ${drives} drives can be used${corrected > 0 && asMeasured === 0 ? ', after correction' : ''}.`,
        ],
        more,
      }
    }
  }
}

/** Where no claim is made yet, the margin alone decides, which a claim does not need. */
const uncertainWords = ({ runs, settings }: Report): Said => ({
  answer: [
    `Not as they are: of no two of the ${runs.length} drives is it known to within ${settings.margin_pct} % how much their conditions differ.`,
  ],
  more: ['A claim needs less: it corrects for conditions and counts what they leave in doubt.'],
})

/** "All 8 drives can be used, but only after correction: no two of them are comparable." */
function withoutPair({ drives, asMeasured, corrected, noPair }: Compared): Sentence {
  const used = asMeasured + corrected
  const drivesUsed = used === drives ? `All ${drives} drives can be used` : `${used} of ${drives} drives can be used`
  const but = asMeasured === 0 ? 'but only after correction:' : 'but'
  return [`${drivesUsed}, ${but} no two ${noPair === 'at-all' ? 'of them' : 'with different setups'} are comparable.`]
}

/** "Excluded: 1 (wet road), 2 (no fuel)." */
function excludedWords({ runs }: Report): Sentence {
  const unused = runs.filter(({ use }) => use.as === 'left-out')
  const [alone, excluded] = [unused.filter(({ use }) => isAlone(use)), unused.filter(({ use }) => !isAlone(use))]
  const sentences = [excluded, alone].filter(({ length }) => length > 0).map(reasonsWords)
  return sentences.length > 0 ? [sentences.join(' ')] : []
}

/** "Excluded: 1 (wet road), 2 (no fuel)." of drives that are left out alike. */
function reasonsWords(runs: Report['runs']): string {
  const counts = new Map<string, number>()
  for (const { use } of runs) {
    const reason = plainText(useInBrief(use))
    counts.set(reason, (counts.get(reason) ?? 0) + 1)
  }
  const told = [...counts].sort(([, a], [, b]) => b - a).map(([reason, count]) => `${count} (${reason})`)
  return `${capital(useWords(runs[0].use).words)}: ${told.join(', ')}.`
}

const NO_CLAIM_WORDS: Record<Exclude<NonNullable<Glance['noClaim']>, 'baseline-not-driven'>, (used: Used) => string> = {
  'no-drives': () => 'Not tested: there are no drives.',
  'no-fuel': (used) => `Not tested: no ${used} is given.`,
  'no-setups': () => 'Not tested: no change against a baseline is named.',
}

function helpedWords({ helped, noClaim }: Glance, report: Report): Said {
  const used = usedIn(report)
  const { baseline } = report.settings
  if (noClaim === 'baseline-not-driven')
    return {
      answer: say`Not tested: no drive has the setup "${name(baseline ?? '')}", which is the baseline.`,
      more: [],
    }
  if (noClaim !== null) return { answer: [NO_CLAIM_WORDS[noClaim](used)], more: [] }
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
  const start = `${change.estimate < 0 ? 'Yes' : 'No'}: ${sizeWords(change, usedInClaim(claim))}`
  return first === undefined ? [`${start}.`] : say`${start}, but it ${reservationWords(first, claim)}.`
}

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
  const what = usedInClaim(all[0].claim)
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
  if (reasons.size === 1) return notShownWords(missingTogether(all))
  return [`Not shown yet: none of the ${all.length} changes.`]
}

/** The first of claims, lacking the setups that others lack for the same reason as well. */
function missingTogether([first, ...others]: readonly Helped[]): Helped {
  const { missing } = first.claim
  if (missing === null) return first
  const alike = others.flatMap(({ claim }) => (claim.missing?.code === missing.code ? claim.missing.setups : []))
  const setups = [...new Set([...missing.setups, ...alike])]
  return { ...first, claim: { ...first.claim, missing: { ...missing, setups } } }
}

function notShownWords({ claim, why }: Helped): Sentence {
  switch (why) {
    case 'missing':
      if (claim.missing?.code === 'no-conditions')
        return ['Cannot be told: without wind and temperature, the weather may have made the difference.']
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
    case 'vehicle-doubtful':
      return ['Not shown yet: the drives do not move like the vehicle stated.']
    case 'evidence-apart':
      return [`Not shown yet: the ways of measuring the ${usedInClaim(claim)} disagree.`]
    case 'conditions':
      return ['Not shown: conditions explain the difference.']
    case 'conditions-possible':
      return ['Not shown yet: conditions may explain the difference.']
    default:
      return ['Not shown yet: it may be no change at all.']
  }
}

/** How many reservations are not told in the headline. */
function otherReservations(helped: readonly Helped[]): Sentence {
  const of = helped.filter(isShown)
  const told = of.some(({ level }) => level === 'reserved') ? 1 : 0
  const more = of.reduce((sum, { reservations }) => sum + reservations.length, 0) - told
  return more > 0 ? [`${plural(more, 'more reservation')}, told under Claims.`] : []
}
