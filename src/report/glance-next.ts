import { nearestWord } from '../read/table/nearest-word.ts'
import type { Report, ReportClaim } from './contract.ts'
import { dataDoubt } from './data-doubts.ts'
import type { Glance, Helped, Next, Reservation } from './glance-answers.ts'

export function whyNoClaim({ claims, runs, consumption, settings }: Report): Glance['noClaim'] {
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

/** What to do next: by the first claim that is open, or by what is missing for one. */
export function nextOf(report: Report, helped: readonly Helped[]): Next {
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

/** Of the width that more drives would leave. */
const FAR_BETTER = 0.5

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
  const isThin = has('single-drive') || has('single-stint')
  // One more drive of what cannot be measured tells little: where another step does far more, it comes first.
  const isFarBetter = first.level === 'not-shown' && widths && withMore && widths.after < FAR_BETTER * withMore.after
  if ((isThin && !isFarBetter) || why === 'large-correction')
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
