import type { StationSeries } from './series.ts'

const HOUR_S = 3600
/** Water that drainage and tyres leave on a road, mm. Common practice, no source. */
const FILM_MM = 0.15
/** Evaporation without sun into wholly dry air, mm/h: 0.26·(1 + 0.54·u)·e_s a day (Penman) at 2 m/s and 12 °C (14.0 hPa). */
const EVAPORATION_MM_PER_H = (0.26 * (1 + 0.54 * 2) * 14) / 24
/** In nearly saturated air traffic and wind still dry a road in that time. Common practice, no source. */
const LONGEST_S = 12 * HOUR_S
/** Reports further apart do not tell what fell between them, s. Common practice, no source. */
const LONGEST_GAP_S = 3 * HOUR_S
/** Less is no rain, mm. Common practice, no source. */
export const LEAST_RAIN_MM = 0.2

const WET_GROUP = /^(?:[-+]|RE)?(?:SH|TS|FZ|DR|BL)*(?:RA|DZ|SN|SG|PL|GR|GS|IC|UP)+/

/** Whether weather groups of METAR speak of anything that falls or has just fallen. */
export const isWetWeather = (groups: string): boolean => groups.split(/\s+/).some((group) => WET_GROUP.test(group))

/**
 * How long a wet road takes to dry without sun, s: an hour at a humidity of 50 %, five at 90 %.
 * @param relativeHumidity 0 to 1; NaN is taken for damp
 * @source evaporation: Penman, Proc. R. Soc. A 193 (1948) 120, in hPa and m/s (from memory)
 */
export function dryingTimeS(relativeHumidity: number): number {
  const evaporated = EVAPORATION_MM_PER_H * (1 - relativeHumidity)
  return evaporated > 0 ? Math.min(LONGEST_S, (FILM_MM / evaporated) * HOUR_S) : LONGEST_S
}

/**
 * Whether reports show that a road was dry: some speak for the time of the drive itself, they reach back without a gap to a
 * moment from which a wet road would have dried, and no station says that anything fell since.
 * @param drive from when to when reports speak for the drive
 * @param drySince that moment, s; no later than the drive
 */
export function isKnownDry(
  stations: readonly StationSeries[],
  drive: { from: number; past: number },
  drySince: number,
): boolean {
  const reaches = stations.map((series) => dryFrom(series, drive.past, drySince))
  if (reaches.includes('fell')) return false
  return stations.some((series, i) => speaksWithin(series, drive) && Number(reaches[i]) <= drySince)
}

/** From when on a station says without a gap that nothing fell; NaN where it does not speak of it, or `fell`. */
function dryFrom(series: StationSeries, past: number, needed: number): number | 'fell' {
  let earliest = Number.NaN
  for (let i = series.time.length - 1; i >= 0; i--) {
    const time = series.time[i]
    if (time > past || !speaks(series, i)) continue
    if (earliest - time > LONGEST_GAP_S) return earliest
    if (time <= needed) return time
    if (fell(series, i)) return 'fell'
    earliest = time
  }
  return earliest
}

const speaks = (series: StationSeries, i: number): boolean =>
  series.presentWeather[i] !== null || Number.isFinite(series.precipitationMm[i])

const fell = ({ presentWeather, precipitationMm }: StationSeries, i: number): boolean =>
  precipitationMm[i] >= LEAST_RAIN_MM || isWetWeather(presentWeather[i] ?? '')

const speaksWithin = (series: StationSeries, { from, past }: { from: number; past: number }): boolean =>
  series.time.some((time, i) => time >= from && time <= past && speaks(series, i))
