import { nearestWord } from '../read/table/nearest-word.ts'
import { isByControl } from './by-control.ts'
import type { Report, ReportClaim, ReportPair } from './contract.ts'
import { type DataDoubt, dataDoubt } from './data-doubts.ts'
import { onOneRoad } from './one-road.ts'

/**
 * The three questions of a reader, can I compare, did it help, what next, answered as codes and figures: made once, said
 * by words/glance.ts, the same on the page, on the terminal, in Markdown and wherever else a report is told.
 */
export interface Glance {
  compare: Compared
  /** One for each claim, in the report's order. */
  helped: Helped[]
  /** Why there is no claim; null where there are some. */
  noClaim: 'no-fuel' | 'no-setups' | 'no-drives' | 'baseline-not-driven' | null
  next: Next
}

/** How many drives are used, and how. */
export interface Compared {
  /** `by-control`: no drive was recorded, and claims rest on fuel beside a control vehicle. */
  level: 'yes' | 'partly' | 'no' | 'not-known' | 'too-few' | 'by-control'
  drives: number
  asMeasured: number
  corrected: number
  leftOut: number
  /** Where no two drives of a road can be compared, alone or of different setups, though claims use them together. */
  noPair: 'at-all' | 'across-setups' | null
}

export type Reservation =
  | ReportClaim['caution_codes'][number]['code']
  | 'data-doubtful'
  | 'evidence-apart'
  | 'control-apart'
  | 'no-usable-pair'
  | 'drag-exceeded'

/** What keeps a change from being shown. */
export type NotShown =
  | 'contains-zero'
  | 'drift'
  | 'large-correction'
  | 'scatter-grew'
  | 'wet-unknown'
  | 'vehicle-doubtful'
  | 'evidence-apart'
  | 'conditions'
  | 'conditions-possible'
  | 'missing'

/** What a claim says, and how surely. */
export interface Helped {
  claim: ReportClaim
  /** Shown; shown with reservations; not shown (yet); cannot be told. */
  level: 'shown' | 'reserved' | 'not-shown' | 'not-known'
  /** The gravest first. */
  reservations: { code: Reservation; setups: string[] }[]
  /** null where it is shown. */
  why: NotShown | null
}

export interface Next {
  code:
    | 'add-tracks'
    | 'same-road'
    | 'add-weather'
    | 'add-fuel'
    | 'add-setups'
    | 'remove-drift'
    | 'settle-evidence'
    | 'add-missing'
    | 'drive-setup'
    | 'correct-baseline'
    | 'check-data'
    | 'more-drives'
    | 'another-day'
    | 'say-wet'
    | 'state-vehicle'
    | 'weigh-the-fuel'
    | 'longer-route'
    | 'nearer-anemometer'
    | 'publish'
  /** The setups that it is about. */
  setups: string[]
  /** Width of the 95 % interval of the first open claim, percentage points, now and after it; null where not known. */
  widths: { before: number; after: number } | null
  /** Whether a drive was left out because its road was wet. */
  dryRoad: boolean
  /** Of `check-data`; null elsewhere. */
  doubt: DataDoubt | null
  /** Of `correct-baseline` the setup that was probably meant; null where none is near, and elsewhere. */
  meant: string | null
}

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

function whyNoClaim({ claims, runs, consumption, settings }: Report): Glance['noClaim'] {
  if (claims.length > 0) return null
  if (runs.length === 0 && consumption.length === 0) return 'no-drives'
  const driven = drivenSetups({ runs, consumption })
  if (settings.baseline !== null && driven.length > 0 && !driven.includes(settings.baseline))
    return 'baseline-not-driven'
  return runs.some((run) => run.consumption !== null) || consumption.length > 0 ? 'no-setups' : 'no-fuel'
}

/** The setups that drives or fills name. */
const drivenSetups = ({ runs, consumption }: Pick<Report, 'runs' | 'consumption'>): string[] => [
  ...new Set([...runs, ...consumption].flatMap(({ setup }) => setup ?? [])),
]

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

function nextOf(report: Report, helped: readonly Helped[]): Next {
  const { runs, routes } = report
  const step = (code: Next['code']): Next => ({
    code,
    setups: [],
    widths: null,
    dryRoad: false,
    doubt: null,
    meant: null,
  })
  const meantFor = (baseline: string): string | null => nearestWord(baseline, drivenSetups(report))
  if (helped.length === 0) {
    const { baseline } = report.settings
    if (baseline !== null && whyNoClaim(report) === 'baseline-not-driven')
      return { ...step('correct-baseline'), setups: [baseline], meant: meantFor(baseline) }
    if (runs.length < 2) return step('add-tracks')
    if (runs.every(({ demand }) => demand.mean_j_per_m === null)) return step('add-weather')
    if (routes.every((route) => route.runs.length < 2)) return step('same-road')
    return step(whyNoClaim(report) === 'no-setups' ? 'add-setups' : 'add-fuel')
  }
  const order: Helped['level'][] = ['not-shown', 'not-known', 'reserved', 'shown']
  const open = helped.toSorted((a, b) => order.indexOf(a.level) - order.indexOf(b.level))
  const dryRoad = runs.some(({ use }) => use.why.code === 'wet')
  const doubt = dataDoubt(report)
  if (doubt !== null && open[0].why !== 'missing') return { ...step('check-data'), doubt }
  const next = nextOfClaim(open[0], helped)
  const meant = next.code === 'correct-baseline' ? meantFor(open[0].claim.baseline) : null
  return { ...next, dryRoad, doubt: null, meant }
}

function stepForMissing({ missing, baseline }: ReportClaim): Next['code'] {
  switch (missing?.code) {
    case 'no-conditions':
      return 'add-weather'
    case 'no-tracks':
      return 'add-tracks'
    case 'baseline-elsewhere':
      return 'drive-setup'
    case 'not-driven':
      // A baseline without drives is more often a name written wrongly than a drive to be made.
      return missing.setups.includes(baseline) ? 'correct-baseline' : 'drive-setup'
    default:
      return 'add-missing'
  }
}

function nextOfClaim(first: Helped, helped: readonly Helped[]): Omit<Next, 'dryRoad' | 'doubt' | 'meant'> {
  const { claim, why, reservations } = first
  const [best] = claim.next_steps
  const widths =
    best && first.level !== 'not-known' ? { before: best.width_before_pct, after: best.width_after_pct } : null
  const step = (
    code: Next['code'],
    setups: readonly string[] = [],
    of: Next['widths'] = null,
  ): Omit<Next, 'dryRoad' | 'doubt' | 'meant'> => ({
    code,
    setups: [...new Set(setups)],
    widths: of,
  })
  if (why === 'missing') {
    const alike = helped.filter(({ claim: { missing } }) => missing?.code === claim.missing?.code)
    return step(
      stepForMissing(claim),
      alike.flatMap((one) => one.claim.missing?.setups ?? []),
    )
  }
  const has = (code: Reservation): boolean => reservations.some((one) => one.code === code)
  if (why === 'drift' || has('drift')) return step('remove-drift', [claim.baseline])
  if (why === 'wet-unknown') return step('say-wet')
  if (why === 'vehicle-doubtful') return step('state-vehicle')
  if (has('evidence-apart')) return step('settle-evidence')
  const single = helped.flatMap((one) => one.reservations.flatMap((r) => (r.code === 'single-drive' ? r.setups : [])))
  const more = claim.next_steps.find((one) => one.step === 'more-runs')
  const withMore = more ? { before: more.width_before_pct, after: more.width_after_pct } : null
  if (has('single-drive') || has('single-stint') || why === 'large-correction')
    return step('more-drives', [...single, claim.setup, claim.baseline], withMore)
  if (has('one-session')) return step('another-day', [claim.setup, claim.baseline], withMore)
  if (first.level === 'shown') return step('publish')
  switch (best?.step) {
    case 'weigh-the-fuel':
    case 'longer-route':
    case 'nearer-anemometer':
      return step(best.step, [], widths)
    default:
      return step('more-drives', [claim.setup, claim.baseline], widths)
  }
}
