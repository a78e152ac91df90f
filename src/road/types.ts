/** A path at even steps of distance, for matching; columns of one length. */
export interface Path {
  /** m, cumulative, of the drive itself (uneven only at the last point). */
  distanceM: Float64Array
  latitude: Float64Array
  longitude: Float64Array
  /** Direction of travel, degrees true. */
  courseDeg: Float64Array
  /** 1 for points that lie in a gap of the recording: nobody knows where the road went. */
  inGap: Uint8Array
  spacingM: number
  lengthM: number
  /** Half-width of the band within which this path's road lies, m: wider where the track is sparse or coarse. */
  corridorM: number
  /** How far this path is from being a good measure of its road: 0 for a recording without gaps and scatter. */
  doubt: number
}

/** How one path lies on a reference path's distance axis. */
export interface Match extends MatchOutline {
  /** Position on the reference's axis for every point of the path, m; NaN off the road. */
  axisM: Float64Array
}

/** What of it is told of the two paths as wholes. */
export interface MatchOutline {
  /** Share of the reference that the path covers, 0 to 1. */
  coveredShare: number
  /** Share of the path that lies on the reference, 0 to 1. */
  onRoadShare: number
  /** Which of the axis's COVERAGE_BINS equal parts were driven: 1 or 0. */
  covered: Uint8Array
  /** Stretches that leave the reference and come back, m along the path. */
  detours: { fromM: number; toM: number }[]
  /** Length of the path before it joins and after it leaves the reference, m. */
  beforeM: number
  afterM: number
  /** Length of the reference that the path drives again after it had been there, m: who turned back, or went round twice. */
  againM: number
}

/** A match without its only column that is as long as the path. */
export const outlineOf = ({ axisM: _, ...outline }: Match): MatchOutline => outline

export const COVERAGE_BINS = 400

export type Relation = 'same' | 'part' | 'detour'
export type RouteShape = 'one-way' | 'loop' | 'there-and-back'

/** One run as a member of a route. */
export interface Member {
  /** Index into the list of paths given. */
  run: number
  relation: Relation
  match: Match
}

/** Runs of one road in one direction. */
export interface Route {
  /** Index of the run whose path is the shared distance axis. */
  reference: number
  lengthM: number
  shape: RouteShape
  /** In the order of the list given. */
  members: Member[]
  /** Index of the route that is this one driven the other way, or null. */
  oppositeOf: number | null
}

/** One elevation profile for a road, from all its runs; columns over the axis. */
export interface ElevationProfile {
  axisM: Float64Array
  elevationM: Float64Array
  /** Median absolute deviation of the witnesses about the profile, m; NaN with a single witness. */
  spreadM: Float64Array
  witnesses: number
  /** What the terrain gave: nothing (null), the shape alone (its heights are above the ellipsoid), or the level as well. */
  terrain: 'shape' | 'level' | null
}

/** The terrain under a road; columns along the axis. */
export interface TerrainWitness {
  axisM: Float64Array
  /** m above the geoid or the ellipsoid; NaN where no tile knows the place. */
  elevationM: Float64Array
  level: 'geoid' | 'ellipsoid'
  /** Share of the places that is known, 0 to 1. */
  knownShare: number
}
