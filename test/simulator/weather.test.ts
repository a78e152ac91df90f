import { describe, expect, it } from 'vitest'
import { simulateWeather, stationReports, type WeatherKnot } from './index.ts'
import { gaussMarkov, randomOf, waveField } from './random.ts'

const START_S = Date.UTC(2026, 4, 12, 8) / 1000
const PLACE = { latitudeDeg: 48, longitudeDeg: 11 }
const CALM: WeatherKnot = {
  timeS: START_S,
  windSpeedMps: 0,
  windFromDeg: 0,
  temperatureC: 20,
  dewPointC: 9.3,
  seaLevelPressureHpa: 1013.25,
  rainMmPerHour: 0,
}

function steadyWeather(change: Partial<WeatherKnot> = {}, referenceElevationM = 0) {
  return simulateWeather({
    seed: 'steady',
    ...PLACE,
    knots: [{ ...CALM, ...change }],
    mesoscale: 0,
    referenceElevationM,
  })
}

describe('the weather', () => {
  it('stays within what is met in nature, over forty drawn days', () => {
    const speeds: number[] = []
    for (let k = 0; k < 40; k++) {
      const weather = simulateWeather({ seed: `nature ${k}`, ...PLACE, startTimeS: START_S, days: 1 })
      const air = weather.at(START_S + k * 900, 48.1, 11.1, 200)
      speeds.push(Math.hypot(air.windEastMps, air.windNorthMps))
      expect(air.temperatureK - 273.15).toBeGreaterThan(-6)
      expect(air.temperatureK - 273.15).toBeLessThan(36)
      expect(air.dewPointK).toBeLessThan(air.temperatureK)
      expect(air.pressurePa).toBeGreaterThan(95000)
      expect(air.pressurePa).toBeLessThan(101500)
    }
    speeds.sort((a, b) => a - b)
    expect(speeds[0]).toBeLessThan(1.5)
    expect(speeds[20]).toBeGreaterThan(1.5)
    expect(speeds[20]).toBeLessThan(6)
    expect(speeds[39]).toBeLessThan(12)
  })

  it('drifts over about an hour and 30 km', () => {
    const field = waveField(randomOf('drift'), [3600, 30e3], 200)
    // By construction: correlation exp(-1.2^2/2) = 0.49 one scale away, that of a Gaussian spectrum.
    const pairs = Array.from({ length: 4000 }, (_, k) => [field(k * 7919, 0), field(k * 7919 + 3600, 0)])
    const product = pairs.reduce((sum, [a, b]) => sum + a * b, 0) / pairs.length
    const square = pairs.reduce((sum, [a]) => sum + a * a, 0) / pairs.length
    expect(square).toBeCloseTo(1, 0)
    expect(product / square).toBeGreaterThan(0.3)
    expect(product / square).toBeLessThan(0.65)
  })

  it('changes from hour to hour as much as a real station, by wind speed', () => {
    // Deutscher Wetterdienst, station 02667 Köln-Bonn, hourly wind 27 Nov 2019 to 29 May 2021, computed from the published
    // file: rms change per component over 1 h, by the mean speed of the two hours (2,418 to 3,131 pairs a row). The record
    // is of hourly means, the simulated readings of 10 min: up to a quarter more is right.
    const observed = [
      { fromMps: 1, changeMps: 0.84 },
      { fromMps: 2, changeMps: 0.92 },
      { fromMps: 3, changeMps: 1.0 },
    ]
    const squares = new Map<number, number[]>()
    for (let k = 0; k < 25; k++) {
      const weather = simulateWeather({ seed: `hour ${k}`, ...PLACE, startTimeS: START_S, days: 4 })
      const { readings } = stationReports(
        weather,
        { id: `S${k}`, latitudeDeg: 48.1, longitudeDeg: 11.1, elevationM: 300, intervalMin: 60 },
        START_S,
        START_S + 96 * 3600,
      )
      for (let i = 1; i < readings.length; i++) {
        const [a, b] = [components(readings[i - 1]), components(readings[i])]
        const bin = Math.floor((readings[i - 1].windSpeedMps + readings[i].windSpeedMps) / 2)
        squares.set(bin, [...(squares.get(bin) ?? []), ((a.u - b.u) ** 2 + (a.v - b.v) ** 2) / 2])
      }
    }
    for (const { fromMps, changeMps } of observed) {
      const all = squares.get(fromMps)!
      const rms = Math.sqrt(all.reduce((sum, square) => sum + square, 0) / all.length)
      expect(rms / changeMps).toBeGreaterThan(0.9)
      expect(rms / changeMps).toBeLessThan(1.25)
    }
  })

  it('has a steady process of unit size for gusts', () => {
    const step = gaussMarkov(randomOf('gusts'))
    const values = Array.from({ length: 40000 }, () => step(0.5))
    const square = values.reduce((sum, v) => sum + v * v, 0) / values.length
    const lagged = values.slice(1).reduce((sum, v, i) => sum + v * values[i], 0) / values.length
    // Four standard errors of 40,000 draws with a correlation time of 2: 0.04.
    expect(Math.abs(square - 1)).toBeLessThan(0.04)
    expect(Math.abs(lagged - Math.exp(-0.5))).toBeLessThan(0.04)
  })
})

describe('a station', () => {
  const station = {
    id: 'XTST',
    latitudeDeg: 48.1,
    longitudeDeg: 11.2,
    elevationM: 480,
    intervalMin: 30,
    minutePast: 20,
  }
  const weather = simulateWeather({ seed: 'reports', ...PLACE, startTimeS: START_S, days: 3, referenceElevationM: 480 })
  const reports = stationReports(weather, station, START_S, START_S + 48 * 3600)

  it('reports at its minutes', () => {
    expect(reports.readings.length).toBe(96)
    for (const reading of reports.readings) expect(new Date(reading.timeS * 1000).getUTCMinutes() % 30).toBe(20)
  })

  it('writes METAR that decode to what it read, within their rounding', () => {
    const lines = reports.metar().trimEnd().split('\n')
    expect(lines.length).toBe(96)
    for (const [i, line] of lines.entries()) {
      const reading = reports.readings[i]
      const found = line.match(
        /^(\d{12}) METAR XTST (\d{6})Z (\d{3}|VRB)(\d\d)(?:G\d\d)?KT .* (M?\d\d)\/(M?\d\d) Q(\d{4})=$/,
      )!
      expect(found[1].slice(6)).toBe(found[2])
      const speed = (Number(found[4]) * 1852) / 3600
      expect(Math.abs(speed - reading.windSpeedMps)).toBeLessThan(0.53)
      if (found[3] !== 'VRB' && speed > 0) {
        const turn = ((Number(found[3]) - reading.windFromDeg + 540) % 360) - 180
        expect(Math.abs(turn)).toBeLessThanOrEqual(5)
      }
      expect(Math.abs(Number(found[5].replace('M', '-')) - reading.temperatureC)).toBeLessThanOrEqual(0.5)
      const altimeter = Number(found[7])
      expect(reading.altimeterHpa - altimeter).toBeGreaterThanOrEqual(0)
      expect(reading.altimeterHpa - altimeter).toBeLessThan(1)
    }
  })

  it('writes a table that agrees with the same readings', () => {
    const rows = reports.csv().trimEnd().split('\n')
    expect(rows.length).toBe(97)
    const cells = rows[1].split(',')
    expect(rows[0].split(',').length).toBe(cells.length)
    expect(Math.abs(Number(cells[6]) - reports.readings[0].temperatureC)).toBeLessThanOrEqual(0.05001)
    expect(Math.abs(Number(cells[8]) - reports.readings[0].stationPressureHpa)).toBeLessThanOrEqual(0.05001)
  })

  it('without errors and drift tells the truth', () => {
    const steady = steadyWeather({ windSpeedMps: 5, windFromDeg: 250, temperatureC: 17 }, 480)
    const [reading] = stationReports(steady, { ...station, errors: 0 }, START_S, START_S + 3600).readings
    expect(reading.windSpeedMps).toBeCloseTo(5, 9)
    expect(reading.windFromDeg).toBeCloseTo(250, 9)
    expect(reading.temperatureC).toBeCloseTo(17, 9)
    // ICAO standard atmosphere: 1013.25 hPa at sea level is 954.608 hPa at 500 m (ISO 2533); here 480 m and 17 °C, not 11.9.
    expect(reading.stationPressureHpa).toBeGreaterThan(956)
    expect(reading.stationPressureHpa).toBeLessThan(959.5)
  })

  it('reduces the pressure of the standard atmosphere to 1013.25 hPa', () => {
    const standard = steadyWeather({ temperatureC: 11.75, dewPointC: -60 }, 500)
    const [reading] = stationReports(
      standard,
      { ...station, elevationM: 500, errors: 0 },
      START_S,
      START_S + 3600,
    ).readings
    // ISO 2533: 954.608 hPa at 500 m. The mean of two temperatures for the layer costs less than 0.05 hPa.
    expect(Math.abs(reading.stationPressureHpa - 954.608)).toBeLessThan(0.05)
    expect(Math.abs(reading.altimeterHpa - 1013.25)).toBeLessThan(0.05)
  })
})

function components({ windSpeedMps, windFromDeg }: { windSpeedMps: number; windFromDeg: number }) {
  const from = (windFromDeg * Math.PI) / 180
  return { u: -windSpeedMps * Math.sin(from), v: -windSpeedMps * Math.cos(from) }
}
