import { reportsAbout } from '../../air/reports-about.ts'
import type { RunSetting, RunTask } from './run-result.ts'

/**
 * All that the results of runs depend on, for each task its parts. Its drive and path follow from the file's content, how
 * it lies on the road from that and the content of the run that gives the axis. Of the weather only the reports that bear
 * on its time count: one more drive brings more of the weather into a campaign, and leaves the other runs as they were.
 * What many runs have in common is one object in all of them, so that its digest is made once.
 */
export function partsOfRuns(setting: RunSetting, tasks: RunTask[]): unknown[][] {
  const { series, ...common } = setting
  const shared = series.filter(({ onlyForRun }) => onlyForRun === null)
  return tasks.map(({ run, route, axisLengthM, wantsSide, wantsAlong, against }) => {
    const notes = series.filter(({ onlyForRun }) => onlyForRun === run.id)
    const own = [
      run.id,
      run.track,
      run.row,
      run.engineOff,
      run.otherVehicle,
      notes,
      route.index,
      route.name,
      route.region,
      axisLengthM,
      wantsSide,
      wantsAlong,
    ]
    const other = against && [against.nominalJPerM, against.first]
    const ofOther = against ? [against.axis, against.places, against.drawsJPerM] : []
    const member = [route.member.relation, route.axisSource]
    const reports = reportsAbout(shared, run.summary.startTime, run.summary.endTime)
    return [run.source, common, [own, other, member], ...ofOther, route.profile, ...reports]
  })
}
