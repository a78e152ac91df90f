import type { ElevationProfile, Member, Path } from '../../road/types.ts'

/** A run's road as the run sees it. */
export interface RouteContext {
  index: number
  name: string
  /** Neighbourhood for the departures from stations. */
  region: string
  /** Content of the run whose path is the road's axis. */
  axisSource: string
  path: Path
  member: Member
  profile: ElevationProfile | null
}
