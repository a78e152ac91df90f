/**
 * What the page draws of runs along their road and in time, beside the report's own figures. Columns of one kind have
 * one length; NaN is "not known". SI, winds at the vehicle's height unless the name says otherwise.
 */
export interface Along {
  roads: AlongRoad[]
  /** In the order of the report's runs. */
  runs: AlongRun[]
  /** How the differences of pairs come about; of many pairs only some. */
  pairs: AlongPair[]
  /** Set where only a part of the runs is plotted: which, in a sentence. */
  selection: string | null
  /** Length over which the demand is averaged for drawing, as a share of the road. */
  demandWindowShare: number
}

/** The conditions that a pair's difference is shared out among along the road. */
export const SUMMED = ['airDensity', 'wind', 'rollingTemperature', 'speed'] as const

/**
 * A pair's difference as it comes about along the road: what each condition has made of it by the end of each even part
 * of the road, percent of the whole demand of `a`, by the best estimates.
 */
export interface AlongPair {
  a: string
  b: string
  sharesPct: Record<(typeof SUMMED)[number], Float64Array>
}

/** A road cut into even cells of its axis. */
export interface AlongRoad {
  id: string
  lengthM: number
  cells: number
  /** Course of the axis at the cells' ends: one longer than the cells. */
  latitude: Float64Array
  longitude: Float64Array
  /** The shared profile at the cells; null where nobody knows heights. */
  elevation: {
    heightM: Float64Array
    /** Median absolute deviation of the witnesses; NaN with a single one. */
    spreadM: Float64Array
    witnesses: number
    terrain: boolean
  } | null
}

/** The quantities plotted over the road's cells. */
export const STRIPS = ['speedMps', 'headwindMps', 'crosswindMps', 'densityKgM3', 'demandJPerM'] as const
export type Strip = (typeof STRIPS)[number]

export interface AlongRun {
  run: string
  road: string
  /** Over the cells of the road; headwind positive against the motion, crosswind positive from the right. */
  strips: Record<Strip, Float64Array>
  /** The 10 m wind at a few places of the run; empty without wind or without its direction. */
  windAt: { latitude: number; longitude: number; eastMps: number; northMps: number }[]
  /** Where the run stood still, and for how long. */
  stoodAt: { latitude: number; longitude: number; standingS: number }[]
  /** null without wind or without its direction. */
  apparent: ApparentWindMet | null
  /** null where nothing was observed within reach. */
  weather: WeatherMet | null
}

/**
 * Share of the distance, 0 to 1, in each cell of yaw and air speed: `share[yaw][speed]`. The yaw cells run from
 * −`yawLimitDeg` (air from the left) to +`yawLimitDeg`; what lies beyond is counted in the outermost ones.
 */
export interface ApparentWindMet {
  yawLimitDeg: number
  yawStepDeg: number
  speedStepMps: number
  share: number[][]
  meanAirspeedMps: number
  /** Sizes of the yaw that half and nine tenths of the distance stay below, degrees. */
  yawMedianDeg: number
  yawNinetyDeg: number
}

/** The weather of one run over time: the interpolation with one standard deviation, and the observations near it. */
export interface WeatherMet {
  startTime: number
  endTime: number
  time: Float64Array
  temperatureC: Float64Array
  temperatureSdC: Float64Array
  windMps: Float64Array
  windSdMps: Float64Array
  /** True, where it comes from; NaN in a calm. */
  fromDeg: Float64Array
  fromSdDeg: Float64Array
  /** Winds brought to 10 m. */
  observations: {
    station: string
    /** NaN where it travels with the vehicle. */
    latitude: number
    longitude: number
    /** Mean distance from the road, m. */
    distanceM: number
    time: Float64Array
    temperatureC: Float64Array
    windMps: Float64Array
    fromDeg: Float64Array
  }[]
}
