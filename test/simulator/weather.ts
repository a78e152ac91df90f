import { randomOf, waveField } from './random.ts'

/**
 * The true weather of a region: a slow part that is the same everywhere (from a script, or drawn), and a drifting
 * mesoscale part: weather systems of about 1 h and 30 km, cells of 25 min and 6 km. Turbulence is added where it is met:
 * by the vehicle (vehicle.ts) and by the station (stations.ts). Their sizes
 * follow what was observed: see the test that holds the hourly change of the wind against a station's record.
 */
export interface Weather {
  seed: string
  latitudeDeg: number
  longitudeDeg: number
  at(timeS: number, latitudeDeg: number, longitudeDeg: number, elevationM: number): Air
  /** The same air's wind alone. */
  windAt(timeS: number, latitudeDeg: number, longitudeDeg: number): Wind
}

/** Velocity of the air 10 m above open ground, towards east and north. */
export interface Wind {
  windEastMps: number
  windNorthMps: number
}

export interface Air extends Wind {
  temperatureK: number
  dewPointK: number
  /** 0 to 1. */
  relativeHumidity: number
  pressurePa: number
  densityKgM3: number
  rainMmPerHour: number
  /** By how much sun on road and tyres warms these above the air. */
  sunOnTyresK: number
}

/** The slow part at one time; values between two of them are interpolated linearly. */
export interface WeatherKnot {
  /** Seconds since 1970 UTC. */
  timeS: number
  windSpeedMps: number
  /** Where the wind comes from, degrees true. */
  windFromDeg: number
  /** At the reference elevation. */
  temperatureC: number
  dewPointC: number
  seaLevelPressureHpa: number
  rainMmPerHour: number
}

export interface WeatherSettings {
  seed: string
  latitudeDeg: number
  longitudeDeg: number
  /** Elevation for which the temperatures of the knots hold. */
  referenceElevationM?: number
  /** The slow part as stated; or else it is drawn for `days` from `startTimeS`. */
  knots?: WeatherKnot[]
  startTimeS?: number
  days?: number
  /** Mean of the drawn temperatures, °C. */
  meanTemperatureC?: number
  /** Factor on the drawn winds: below 1 a calm spell, above 1 a windy one. */
  windScale?: number
  /** Scale of the mesoscale drift; 0 for none. */
  mesoscale?: number
  /**
   * Scale of what lasts for a day or so over some 50 km: valleys, coasts, the edge of a front. 1 makes pairs of stations 40 to
   * 90 km apart differ as those of a world-wide list of aerodrome reports do (3 to 4 (m/s)² for each component); 0 for none.
   */
  lasting?: number
  /** By how much a clear noon warms tyres, K; each day is clear to another degree. 0 for none. */
  sunK?: number
  /** By how much it is warmer at a time than drawn, K: the days of one setup. */
  warmerK?: (timeS: number) => number
  /** How far the dew point lies below the air's temperature, K, at the times when that is not as drawn; null at all others. */
  spreadK?: (timeS: number) => number | null
}

const METRES_PER_DEGREE = 111200
const LAPSE_K_PER_M = 0.0065
const HOUR_S = 3600

export function simulateWeather(settings: WeatherSettings): Weather {
  const {
    seed,
    latitudeDeg: lat0,
    longitudeDeg: lon0,
    referenceElevationM = 200,
    mesoscale = 1,
    lasting = 0,
    sunK = 0,
    warmerK = () => 0,
    spreadK = () => null,
  } = settings
  const knots = settings.knots ?? drawKnots(settings)
  const random = randomOf(`${seed}/mesoscale`)
  const field = (timeScaleS: number, lengthScaleM: number) =>
    waveField(random, [timeScaleS, lengthScaleM, lengthScaleM], 12)
  const [driftEast, driftNorth] = [field(HOUR_S, 30e3), field(HOUR_S, 30e3)]
  const [cellEast, cellNorth] = [field(0.4 * HOUR_S, 6e3), field(0.4 * HOUR_S, 6e3)]
  const [driftTemperature, driftDewPoint] = [field(3 * HOUR_S, 25e3), field(4 * HOUR_S, 40e3)]
  const [lastEast, lastNorth] = [1, 2].map((part) =>
    waveField(randomOf(`${seed}/lasting/${part}`), [24 * HOUR_S, 50e3, 50e3], 12),
  )
  const pressureGradient = [random.normal() * 1e-3, random.normal() * 1e-3]
  const eastPerDegree = METRES_PER_DEGREE * Math.cos((lat0 * Math.PI) / 180)

  const localX = (longitudeDeg: number): number => (longitudeDeg - lon0) * eastPerDegree
  const localY = (latitudeDeg: number): number => (latitudeDeg - lat0) * METRES_PER_DEGREE
  const windOf = (slow: ReturnType<typeof slowPart>, timeS: number, x: number, y: number): Wind => {
    const speed = Math.hypot(slow.east, slow.north)
    const drift = mesoscale * (0.35 + 0.07 * speed)
    const cell = mesoscale * (0.25 + 0.04 * speed)
    const last = lasting * (0.5 + 0.18 * speed)
    return {
      windEastMps:
        slow.east + drift * driftEast(timeS, x, y) + cell * cellEast(timeS, x, y) + last * lastEast(timeS, x, y),
      windNorthMps:
        slow.north + drift * driftNorth(timeS, x, y) + cell * cellNorth(timeS, x, y) + last * lastNorth(timeS, x, y),
    }
  }
  const windAt = (timeS: number, latitudeDeg: number, longitudeDeg: number): Wind =>
    windOf(slowPart(knots, timeS), timeS, localX(longitudeDeg), localY(latitudeDeg))
  const clearness = new Map<number, number>()
  const clearOn = (day: number): number => {
    const clear = clearness.get(day) ?? randomOf(`${seed}/clear/${day}`).uniform()
    clearness.set(day, clear)
    return clear
  }

  const at = (timeS: number, latitudeDeg: number, longitudeDeg: number, elevationM: number): Air => {
    const [x, y] = [localX(longitudeDeg), localY(latitudeDeg)]
    const slow = slowPart(knots, timeS)
    const temperatureK =
      slow.temperatureK +
      warmerK(timeS) +
      mesoscale * 0.5 * driftTemperature(timeS, x, y) -
      LAPSE_K_PER_M * (elevationM - referenceElevationM)
    const spread = spreadK(timeS)
    const slowDewPointK = spread === null ? slow.dewPointK + warmerK(timeS) : temperatureK - spread
    const dewPointK = Math.min(temperatureK - 0.3, slowDewPointK + mesoscale * 0.5 * driftDewPoint(timeS, x, y))
    const seaLevelPa = slow.seaLevelPa + mesoscale * (pressureGradient[0] * x + pressureGradient[1] * y)
    const pressurePa = pressureAt(seaLevelPa, temperatureK, dewPointK, elevationM)
    return {
      ...windOf(slow, timeS, x, y),
      temperatureK,
      dewPointK,
      relativeHumidity: vapourPressurePa(dewPointK) / vapourPressurePa(temperatureK),
      pressurePa,
      densityKgM3: densityOf(pressurePa, temperatureK, dewPointK),
      rainMmPerHour: slow.rainMmPerHour,
      sunOnTyresK: sunK === 0 ? 0 : sunK * sunshine(clearOn, timeS, longitudeDeg),
    }
  }
  return { seed, latitudeDeg: lat0, longitudeDeg: lon0, at, windAt }
}

/** 0 at night, up to 1 at a clear noon. */
function sunshine(clearOn: (day: number) => number, timeS: number, longitudeDeg: number): number {
  const solarHours = timeS / HOUR_S + longitudeDeg / 15
  return clearOn(Math.floor(solarHours / 24)) * Math.max(0, Math.sin(((solarHours - 6) / 12) * Math.PI))
}

/** Hourly knots: first-order processes of wind, temperature, humidity and pressure, and the daily cycle upon them. */
function drawKnots(settings: WeatherSettings): WeatherKnot[] {
  const { seed, longitudeDeg, startTimeS = 0, days = 1, meanTemperatureC = 14, windScale = 1 } = settings
  const random = randomOf(`${seed}/slow`)
  const process = (timeScaleHours: number) => {
    let value = random.normal()
    const memory = Math.exp(-1 / timeScaleHours)
    return () => {
      value = memory * value + Math.sqrt(1 - memory * memory) * random.normal()
      return value
    }
  }
  const [east, north, warmth, spread, pressure] = [process(20), process(20), process(60), process(30), process(60)]
  const prevailing = random.between(0, 2 * Math.PI)
  const knots: WeatherKnot[] = []
  for (let hour = -3; hour <= days * 24 + 3; hour++) {
    const timeS = startTimeS + hour * HOUR_S
    const solarHour = (((timeS / HOUR_S + longitudeDeg / 15) % 24) + 24) % 24
    const day = Math.cos(((solarHour - 15) / 24) * 2 * Math.PI)
    const u = 1.6 * Math.cos(prevailing) + 2.3 * east()
    const v = 1.6 * Math.sin(prevailing) + 2.3 * north()
    const speed = windScale * 9 * Math.tanh((Math.hypot(u, v) / 9) * (1 + 0.2 * day))
    const temperatureC = Math.min(32, Math.max(-2, meanTemperatureC + 5 * warmth() + 4.5 * day))
    knots.push({
      timeS,
      windSpeedMps: speed,
      windFromDeg: ((Math.atan2(-u, -v) * 180) / Math.PI + 360) % 360,
      temperatureC,
      dewPointC: temperatureC - Math.max(0.5, 6 + 3 * spread() + 3.5 * day),
      seaLevelPressureHpa: Math.min(1035, Math.max(990, 1014 + 9 * pressure())),
      rainMmPerHour: 0,
    })
  }
  return knots
}

function slowPart(knots: WeatherKnot[], timeS: number) {
  let [i, end] = [0, Math.max(0, knots.length - 2)]
  while (i < end) {
    const middle = (i + end + 1) >> 1
    if (knots[middle].timeS <= timeS) i = middle
    else end = middle - 1
  }
  const a = knots[i]
  const b = knots[Math.min(i + 1, knots.length - 1)]
  const share = b.timeS > a.timeS ? Math.min(1, Math.max(0, (timeS - a.timeS) / (b.timeS - a.timeS))) : 0
  const mix = (p: number, q: number) => p + share * (q - p)
  const east = (k: WeatherKnot) => -k.windSpeedMps * Math.sin((k.windFromDeg * Math.PI) / 180)
  const north = (k: WeatherKnot) => -k.windSpeedMps * Math.cos((k.windFromDeg * Math.PI) / 180)
  return {
    east: mix(east(a), east(b)),
    north: mix(north(a), north(b)),
    temperatureK: 273.15 + mix(a.temperatureC, b.temperatureC),
    dewPointK: 273.15 + mix(a.dewPointC, b.dewPointC),
    seaLevelPa: 100 * mix(a.seaLevelPressureHpa, b.seaLevelPressureHpa),
    rainMmPerHour: share < 1 ? a.rainMmPerHour : b.rainMmPerHour,
  }
}

/** Bolton 1980, eq. 10, over water. */
export function vapourPressurePa(dewPointK: number): number {
  const c = dewPointK - 273.15
  return 611.2 * Math.exp((17.67 * c) / (c + 243.5))
}

/** Hypsometric: half the standard lapse between the place and sea level, virtual temperature. */
function pressureAt(seaLevelPa: number, temperatureK: number, dewPointK: number, elevationM: number): number {
  const virtualK = (temperatureK + (LAPSE_K_PER_M * elevationM) / 2) * (1 + (0.378 * vapourPressurePa(dewPointK)) / 1e5)
  return seaLevelPa * Math.exp((-9.80665 * elevationM) / (287.05 * virtualK))
}

/** Two ideal gases: dry air 287.05, water vapour 461.5 J/(kg K). */
export function densityOf(pressurePa: number, temperatureK: number, dewPointK: number): number {
  const vapourPa = vapourPressurePa(dewPointK)
  return (pressurePa - vapourPa) / (287.05 * temperatureK) + vapourPa / (461.5 * temperatureK)
}
