import { isByControl } from './by-control.ts'
import type { Report, ReportClaim, ReportPair } from './contract.ts'
import { dataDoubt } from './data-doubts.ts'
import type { Compared, Glance, Helped, NotShown, Reservation } from './glance-answers.ts'
import { nextOf, whyNoClaim } from './glance-next.ts'
import { onOneRoad } from './one-road.ts'

/** Answers the three questions from a report. */
export function glanceOf(report: Report): Glance {
  const helped = report.claims.map((claim) => helpedBy(claim, report))
  return { compare: comparedOf(report), helped, noClaim: whyNoClaim(report), next: nextOf(report, helped) }
}

function comparedOf(report: Report): Compared {
  const { runs, claims } = report
  const count = (as: Report['runs'][number]['use']['as']): number => runs.filter(({ use }) => use.as === as).length
  const [asMeasured, corrected, leftOut] = [count('as-measured'), count('corrected'), count('left-out')]
  const noPair = pairLacking(report)
  const counts = { drives: runs.length, asMeasured, corrected, leftOut, noPair }
  const noWeather = runs.length > 0 && runs.every(({ demand }) => demand.mean_j_per_m === null)
  const used = asMeasured + corrected
  const level = (): Compared['level'] => {
    if (runs.length === 0 && claims.some(isByControl)) return 'by-control'
    if (runs.length < 2) return 'too-few'
    if (noWeather) return 'not-known'
    // A claim may stand on drives that were measured and could not be corrected.
    if (used < 2) return 'no'
    return leftOut === 0 && noPair === null && (claims.length > 0 || corrected === 0) ? 'yes' : 'partly'
  }
  return { level: level(), ...counts }
}

/** Which pairs lack one that can be compared; null too where the report holds a part of all pairs only. */
function pairLacking({ runs, pairs, pairs_note }: Report): Compared['noPair'] {
  const onRoad = pairs.filter(onOneRoad)
  if (onRoad.length === 0 || pairs_note !== null) return null
  if (!onRoad.some(isUsable)) return 'at-all'
  const setups = new Map(runs.map(({ id, setup }) => [id, setup]))
  const across = onRoad.filter(({ a, b }) => {
    const [one, other] = [setups.get(a) ?? null, setups.get(b) ?? null]
    return one !== null && other !== null && one !== other
  })
  return across.length > 0 && !across.some(isUsable) ? 'across-setups' : null
}

const isUsable = ({ verdict }: ReportPair): boolean => verdict === 'comparable' || verdict === 'adjustable'

/** The gravest first; what is not listed is graver than none of them. */
const GRAVITY: Reservation[] = [
  'data-doubtful',
  'evidence-apart',
  'control-apart',
  'drift',
  'single-drive',
  'single-stint',
  'not-interleaved',
  'no-usable-pair',
  'battery-not-known',
  'one-session',
  'drag-exceeded',
  'no-drift-correction',
  'fuel-temperature-partly-read',
  'large-correction',
  'scatter-grew',
]

function helpedBy(claim: ReportClaim, report: Report): Helped {
  const reservations = reservationsOf(claim, report)
  const why = notShown(claim)
  if (why === 'missing') return { claim, level: 'not-known', reservations, why }
  if (why !== null) return { claim, level: 'not-shown', reservations, why }
  return { claim, level: reservations.length > 0 ? 'reserved' : 'shown', reservations, why }
}

function notShown(claim: ReportClaim): NotShown | null {
  const { verdict, raw_consumption_change_pct: raw, adjusted_consumption_change_pct: adjusted } = claim
  if (verdict === 'not testable' || adjusted === null) return 'missing'
  if (verdict === 'supported') return null
  if (claim.held_back !== null) return claim.held_back
  if (verdict === 'unresolved') return 'contains-zero'
  return raw !== null && 1 - adjusted.estimate / raw.estimate >= 0.5 ? 'conditions' : 'conditions-possible'
}

function reservationsOf(claim: ReportClaim, report: Report): Helped['reservations'] {
  const apart = claim.evidence.some((record) => record.kind === 'consistency' && !record.agree)
  const beyondDrag = claim.sense !== null && claim.sense.verdict !== 'possible'
  const found: Helped['reservations'] = [
    ...claim.caution_codes.filter(({ code }) => code !== 'drift' || !claim.drift?.corrected),
    ...(dataDoubt(report) === null ? [] : [{ code: 'data-doubtful' as const, setups: [] }]),
    ...(apart ? [{ code: 'evidence-apart' as const, setups: [] }] : []),
    ...(claim.control?.agree === false ? [{ code: 'control-apart' as const, setups: [] }] : []),
    ...(!isByControl(claim) && noUsablePair(claim, report) ? [{ code: 'no-usable-pair' as const, setups: [] }] : []),
    ...(beyondDrag ? [{ code: 'drag-exceeded' as const, setups: [] }] : []),
  ]
  return found.sort((a, b) => GRAVITY.indexOf(a.code) - GRAVITY.indexOf(b.code))
}

/** Whether no drive of one side can be held against one of the other, so that all rests on the correction. */
function noUsablePair({ runs, baseline_runs }: ReportClaim, report: Report): boolean {
  const [setup, baseline] = [new Set(runs), new Set(baseline_runs)]
  const across = report.pairs.filter(
    (pair) =>
      onOneRoad(pair) && ((setup.has(pair.a) && baseline.has(pair.b)) || (setup.has(pair.b) && baseline.has(pair.a))),
  )
  return across.length > 0 && !across.some(isUsable)
}
