import type { RunSetting, RunTask } from './run-result.ts'

/**
 * All that the results of runs depend on, for each task its parts. Its drive and path follow from the file's content, how
 * it lies on the road from that and the content of the run that gives the axis. What many runs have in common is one
 * object in all of them, so that its digest is made once.
 */
export function partsOfRuns(setting: RunSetting, tasks: RunTask[]): unknown[][] {
  const { series, ...rest } = setting
  const common = [series.filter(({ onlyForRun }) => onlyForRun === null), rest]
  return tasks.map(({ run, route, axisLengthM, wantsSide, against }) => {
    const notes = series.filter(({ onlyForRun }) => onlyForRun === run.id)
    const own = [
      run.id,
      run.track,
      run.row,
      run.engineOff,
      notes,
      route.index,
      route.name,
      route.region,
      axisLengthM,
      wantsSide,
    ]
    const other = against && [against.nominalJPerM, against.first]
    const ofOther = against ? [against.axis, against.places, against.drawsJPerM] : []
    const member = [route.member.relation, route.axisSource]
    return [run.source, common, [own, other, member], ...ofOther, route.profile]
  })
}
