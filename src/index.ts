/**
 * ceteris as a library: the same reports that the command line makes, and parts of the physics below them.
 *
 * Values are in SI, and their names carry the unit: `temperatureK`, `pressurePa`, `distanceM`. What is wrong with an input
 * comes back as a {@link Problem}; a function throws only for a fault of its own.
 * @module
 */
export { airDensityKgM3 } from './air/density.ts'
export { crosswindMps, headwindMps } from './air/wind.ts'
export type { Outcome, Problem, Severity } from './base/problem.ts'
export { type CampaignInput, type CampaignSettings, type CampaignWork, workHere } from './campaign/campaign-input.ts'
export type { CampaignResult, OnePair } from './campaign/campaign-result.ts'
export type { WorthSettings } from './campaign/claims/worth.ts'
export {
  buffersOf,
  type InputFile,
  type MappedFile,
  type MappedTrack,
  mapFile,
  type WholeFile,
} from './campaign/load/map-file.ts'
export { mapParts } from './campaign/load/map-parts.ts'
export { reduceCampaign, runCampaign } from './campaign/run-campaign.ts'
export { type ConditionsDifference, conditionsDifference } from './compare/difference.ts'
export { type PairVerdict, verdictOf } from './compare/verdict.ts'
export { reportOfFiles } from './library.ts'
export { readGpx } from './read/gpx/read.ts'
export type { Kind } from './read/kind.ts'
export type { TrackColumns, TrackFile, Waypoint } from './read/types.ts'
export { type Report, type ReportPair, type ReportRoute, type ReportRun, reportSchema } from './report/contract.ts'
export { driveOf } from './track/drive.ts'
export { summaryOf } from './track/summary.ts'
export type { Drive, DriveSummary, Fixes, Gap, Motion, Repairs } from './track/types.ts'
