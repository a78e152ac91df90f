import type { RunTask, StepSetting } from '../campaign/drive/run-step.ts'
import { type Cache, digestOf, keyOf } from './cache.ts'

/**
 * Everything that a run's result depends on. Its drive and path follow from the file's content, how it lies on the road
 * from that and the content of the run that gives the axis.
 */
export function stepKeys(setting: StepSetting, tasks: RunTask[], maker: Pick<Cache, 'version'>): string[] {
  const { series, ...rest } = setting
  const common = onceDigestOf(setting, [series.filter(({ onlyForRun }) => onlyForRun === null), rest])
  return tasks.map(({ run, route, axisLengthM, wantsSide, against }) => {
    const notes = series.filter(({ onlyForRun }) => onlyForRun === run.id)
    const own = [run.id, run.track, run.row, notes, route.index, route.name, route.region, axisLengthM, wantsSide]
    const other = against && [
      onceDigestOf(against.axis),
      onceDigestOf(against.places),
      against.nominalJPerM,
      onceDigestOf(against.drawsJPerM),
      against.first,
    ]
    return keyOf(maker, 'run', [
      run.source,
      common,
      digestOf([own, other, route.member.relation, route.axisSource]),
      onceDigestOf(route.profile),
    ])
  })
}

const known = new WeakMap<object, string>()

/** The digest of what many runs have in common, made once. */
function onceDigestOf(of: object | null, content: unknown = of): string {
  if (of === null) return digestOf(content)
  const digest = known.get(of) ?? digestOf(content)
  known.set(of, digest)
  return digest
}
