/** ceteris as a library: the same pipeline that the command line runs, and the physics below it. */
export { airDensityKgM3 } from './air/density.ts'
export { crosswindMps, headwindMps } from './air/wind.ts'
export type { Outcome, Problem, Severity } from './base/problem.ts'
export { buffersOf, type InputFile, type MappedFile, mapFile } from './campaign/load/map-file.ts'
export {
  type CampaignInput,
  type CampaignResult,
  type CampaignSettings,
  reduceCampaign,
  runCampaign,
} from './campaign/run-campaign.ts'
export { conditionsDifference, verdictOf } from './compare/difference.ts'
export { readGpx } from './read/gpx/read.ts'
export type { TrackColumns, TrackFile } from './read/types.ts'
export { type Report, type ReportPair, type ReportRoute, type ReportRun, reportSchema } from './report/contract.ts'
export { driveOf } from './track/drive.ts'
export { summaryOf } from './track/summary.ts'
export type { Drive, DriveSummary, Motion } from './track/types.ts'
