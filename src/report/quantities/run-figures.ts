import { celsiusFromKelvin } from '../../base/units.ts'
import { figures } from './run-figure.ts'

/** Keys of a run itself. */
export const SPEEDS = figures({
  mean_speed_mps: {
    label: 'Mean speed, stops included',
    unit: 'speed',
    of: ({ summary }) => summary.meanSpeedMps,
    decimals: 1,
    group: 'Drive',
  },
  moving_speed_mps: {
    label: 'Mean speed while moving',
    unit: 'speed',
    of: ({ summary }) => summary.movingSpeedMps,
    decimals: 1,
    brief: 0,
    group: 'Drive',
    markdown: 'drives',
    terminal: { header: 'km/h', rank: 7 },
    inspect: 'Drive',
    phrase: { before: '', behind: ' while moving' },
    card: { place: 8, behind: 'stop_count' },
  },
  max_speed_mps: {
    label: 'Highest speed',
    unit: 'speed',
    of: ({ summary }) => summary.maxSpeedMps,
    decimals: 0,
    group: 'Drive',
  },
})

/** Likewise. */
export const HEIGHTS = figures({
  elevation_gain_m: {
    label: 'Climb, on the profile of all drives of the road',
    unit: 'height',
    of: ({ heights }) => heights.gainM,
    decimals: 0,
    group: 'Drive',
    inspect: 'Road',
    phrase: { before: 'climb ', behind: '' },
  },
  elevation_loss_m: {
    label: 'Descent, on the profile of all drives of the road',
    unit: 'height',
    of: ({ heights }) => heights.lossM,
    decimals: 0,
    group: 'Drive',
  },
  net_elevation_m: {
    label: 'Net elevation change',
    unit: 'height',
    of: ({ heights }) => heights.netM,
    decimals: 0,
    sign: true,
    group: 'Drive',
  },
})

/** Keys of `air`. */
export const AIR = figures({
  temperature_c: {
    label: 'Temperature',
    unit: 'temperature',
    of: ({ means }) => celsiusFromKelvin(means.temperatureK),
    decimals: 1,
    group: 'Air',
    markdown: 'conditions',
    terminal: { header: '°C', rank: 6 },
    inspect: 'Air',
    card: { place: 4 },
  },
  relative_humidity_pct: {
    label: 'Relative humidity',
    unit: '%',
    of: ({ runAir, means }) => (runAir.assumed.humiditySd > 0 ? Number.NaN : 100 * means.relativeHumidity),
    decimals: 0,
    group: 'Air',
    short: 'humidity',
    markdown: 'conditions',
    inspect: 'Air',
    phrase: { before: '', behind: ' humidity' },
    card: { place: 6 },
  },
  station_pressure_hpa: {
    label: 'Station pressure',
    unit: 'pressure',
    of: ({ runAir, means }) => (runAir.assumed.pressureSdPa > 0 ? Number.NaN : means.pressurePa / 100),
    decimals: 1,
    brief: 0,
    group: 'Air',
    inspect: 'Air',
  },
  density_kgm3: {
    label: 'Air density',
    unit: 'density',
    of: ({ means }) => means.densityKgM3,
    decimals: 4,
    brief: 3,
    group: 'Air',
    markdown: 'conditions',
    terminal: { header: 'kg/m³', rank: 10 },
    inspect: 'Air',
    card: { place: 5 },
  },
  density_kgm3_sd: { sdOf: ({ means }) => means.densitySdKgM3 },
  precipitation_mm: {
    label: 'Precipitation',
    unit: 'rain',
    of: ({ runAir }) => runAir.precipitationMm,
    decimals: 1,
    group: 'Air',
    inspect: 'Sky',
    phrase: { before: 'precipitation ', behind: '' },
  },
})

/** Keys of `wind`. */
export const WIND = figures({
  speed_mps: {
    label: 'Wind speed at 10 m',
    unit: 'wind',
    of: ({ wind }) => wind.speedMps,
    column: 'wind_speed_mps',
    decimals: 1,
    group: 'Wind',
    short: 'wind at 10 m',
    markdown: 'conditions',
    terminal: { header: 'wind, m/s', rank: 3 },
    inspect: 'Wind',
    card: { place: 1, behind: 'wind.from_deg' },
  },
  from_deg: {
    label: 'Wind from',
    unit: '°',
    of: ({ wind }) => wind.fromDeg,
    column: 'wind_from_deg',
    decimals: 0,
    group: 'Wind',
    short: 'from',
    markdown: 'conditions',
    terminal: { header: 'from, °', rank: 4 },
    inspect: 'Wind',
    phrase: { before: 'from ', behind: '', carriesOn: true },
  },
  headwind_mps: {
    label: 'Headwind at the vehicle',
    unit: 'wind',
    of: ({ wind }) => wind.headwindMps,
    decimals: 1,
    sign: true,
    group: 'Wind',
    short: 'headwind',
    markdown: 'conditions',
    terminal: { header: 'head', rank: 5 },
    inspect: 'Wind',
    phrase: { before: 'headwind at the vehicle ', behind: '' },
    card: { place: 2, opposite: 'tailwind' },
  },
  headwind_mps_sd: {
    sdOf: ({ wind, demand }) => (demand && Number.isFinite(wind.headwindMps) ? demand.headwindSdMps : Number.NaN),
  },
  crosswind_abs_mps: {
    label: 'Mean absolute crosswind at the vehicle',
    unit: 'wind',
    of: ({ wind }) => wind.crosswindAbsMps,
    decimals: 1,
    group: 'Wind',
    short: 'crosswind',
    markdown: 'conditions',
    terminal: { header: 'cross', rank: 11 },
    inspect: 'Wind',
    phrase: { before: 'crosswind ', behind: '' },
    card: { place: 3 },
  },
  yaw_abs_deg: {
    label: 'Mean absolute yaw angle',
    unit: '°',
    of: ({ wind }) => wind.yawAbsDeg,
    decimals: 1,
    group: 'Wind',
  },
  gust_mps: {
    label: 'Highest gust',
    unit: 'wind',
    of: ({ runAir }) => runAir.gustMps,
    decimals: 1,
    group: 'Wind',
    short: 'gusts',
    markdown: 'conditions',
    inspect: 'Wind',
    phrase: { before: 'gusts ', behind: '' },
    card: { place: 11 },
  },
})

/** Keys of `sun`. */
export const SUN = figures({
  altitude_deg: {
    label: 'Sun altitude, middle of the drive',
    unit: '°',
    of: ({ sun }) => sun.altitudeDeg,
    column: 'sun_altitude_deg',
    decimals: 0,
    group: 'Sun',
    inspect: 'Sky',
    phrase: { before: 'sun at ', behind: '' },
  },
  azimuth_deg: {
    label: 'Sun azimuth',
    unit: '°',
    of: ({ sun }) => sun.azimuthDeg,
    column: 'sun_azimuth_deg',
    decimals: 0,
    group: 'Sun',
  },
  start_altitude_deg: {
    label: 'Sun altitude at the start',
    unit: '°',
    of: ({ sun }) => sun.startAltitudeDeg,
    column: null,
    decimals: 0,
  },
  end_altitude_deg: {
    label: 'Sun altitude at the end',
    unit: '°',
    of: ({ sun }) => sun.endAltitudeDeg,
    column: null,
    decimals: 0,
  },
})

/** Keys of `demand`. */
export const DEMAND = figures({
  mean_j_per_m: {
    label: 'Mean demand',
    unit: 'demand',
    of: ({ demand }) => demand?.nominalJPerM ?? Number.NaN,
    column: 'demand_mean_j_per_m',
    decimals: 0,
    group: 'Predicted energy demand (vehicle unchanged)',
  },
  sd_pct: {
    label: 'Standard deviation of the demand',
    unit: '%',
    of: ({ demandSdPct }) => demandSdPct,
    column: 'demand_sd_pct',
    decimals: 1,
    group: 'Predicted energy demand (vehicle unchanged)',
  },
})
