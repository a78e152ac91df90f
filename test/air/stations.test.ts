import { describe, expect, it } from 'vitest'
import { disagreementOf } from '../../src/air/disagreement.ts'
import { airAlong, prepareField } from '../../src/air/field.ts'
import { interpolate, prepareStation } from '../../src/air/prepared.ts'
import type { StationSeries } from '../../src/air/series.ts'
import type { RunAir } from '../../src/air/types.ts'

const T0 = 1.6e9
const HOUR = 3600
/** One degree of latitude at 48°: 111.2 km (WGS 84, arc of the meridian). */
const KM_NORTH = 1 / 111.2

/** An observation's reach: a line is drawn where its middle is within reach of both ends. */
const within = (gapS: number) => ({ gapS, stepS: 2 * gapS })

type Column = Exclude<keyof StationSeries, 'station' | 'files' | 'onlyForRun' | 'presentWeather'>
type Place = Partial<StationSeries['station']> & { onlyForRun?: string }

/** A station at 48° N, 9° E, 300 m, reporting at these times; what is not named was not observed. */
function station(
  times: number[],
  columns: Partial<Record<Column, number[]>>,
  { onlyForRun, ...place }: Place = {},
): StationSeries {
  const column = (name: Column): Float64Array => Float64Array.from(times, (_, i) => columns[name]?.[i] ?? Number.NaN)
  return {
    station: {
      id: 'S',
      latitude: 48,
      longitude: 9,
      elevationM: 300,
      anemometerHeightM: 10,
      quality: 'instrument',
      onRoad: false,
      ...place,
    },
    files: [],
    onlyForRun: onlyForRun ?? null,
    time: Float64Array.from(times),
    temperatureK: column('temperatureK'),
    temperatureStepK: column('temperatureStepK'),
    dewPointK: column('dewPointK'),
    relativeHumidity: column('relativeHumidity'),
    stationPressurePa: column('stationPressurePa'),
    seaLevelPressurePa: column('seaLevelPressurePa'),
    altimeterPa: column('altimeterPa'),
    windSpeedMps: column('windSpeedMps'),
    windFromDeg: column('windFromDeg'),
    windGustMps: column('windGustMps'),
    precipitationMm: column('precipitationMm'),
    roadWet: column('roadWet'),
    presentWeather: times.map(() => null),
  }
}

/** 10 °C and 4 m/s from the west, all day. */
const steady = (place: Place = {}, more: Partial<Record<Column, number[]>> = {}): StationSeries =>
  station(
    [T0 - 24 * HOUR, T0, T0 + 24 * HOUR],
    { temperatureK: [283.15, 283.15, 283.15], windSpeedMps: [4, 4, 4], windFromDeg: [270, 270, 270], ...more },
    place,
  )

/** The air at one place and time. */
function airAt(series: StationSeries[], { km = 0, time = T0, elevationM = 300, run = 'run' } = {}): RunAir {
  return airAlong(prepareField(series), run, {
    time: Float64Array.of(time),
    latitude: Float64Array.of(48 + km * KM_NORTH),
    longitude: Float64Array.of(9),
    elevationM: Float64Array.of(elevationM),
  })
}

const at48 = { latitude: 48, longitude: 9, from: T0, to: T0 }

const GROWTH_AT_4 = Math.sqrt((1 + (4 / 6) ** 2) / 1.25)

describe('how sure a station is of the air on the road', () => {
  const windSd = (where: Parameters<typeof airAt>[1], series = [steady()]): number =>
    airAt(series, where).along.windDepartureSdMps[0]
  const temperatureSd = (where: Parameters<typeof airAt>[1], series = [steady()]): number =>
    airAt(series, where).along.temperatureDepartureSdK[0]

  // The stated sizes: variances of 0.3², 4e-5 a metre and 0.5 an hour of the wind, and of
  // 0.3², 8e-6 a metre, 0.4 an hour and (3 K/km)² of the temperature; independent, so they add. The wind is 4 m/s here,
  // in which its variance is (1 + (4/6)²)/1.25 times as large.
  it.each([
    { what: 'at the station', where: {}, wind: 0.3, temperature: 0.3 },
    { what: '30 km away', where: { km: 30 }, wind: Math.sqrt(0.09 + 1.2), temperature: Math.sqrt(0.09 + 0.24) },
    { what: 'an hour later', where: { time: T0 + HOUR }, wind: Math.sqrt(0.59), temperature: 0.7 },
    { what: '100 m higher', where: { elevationM: 400 }, wind: 0.3, temperature: Math.hypot(0.3, 0.3) },
    { what: '100 m lower', where: { elevationM: 200 }, wind: 0.3, temperature: Math.hypot(0.3, 0.3) },
  ])('$what', ({ where, wind, temperature }) => {
    // The degree of latitude above is good to a part in a thousand.
    expect(windSd(where)).toBeCloseTo(wind * GROWTH_AT_4, 3)
    expect(temperatureSd(where)).toBeCloseTo(temperature, 3)
  })

  it('two stations on both sides of the road leave less of a departure than two on one side', () => {
    const two = [steady(), steady({ id: 'T', latitude: 48 + 60 * KM_NORTH })]
    const middle = { km: 30 }
    // They agree wholly: a belief of weight 6 in the usual size, 4 of weight in none (mean of a scaled inverse chi-square).
    const agreeing = 6 / (6 + 4)
    // Ordinary kriging: 1.29 (m/s)² from each station to the road, less a quarter of the 2.49 between the two.
    expect(windSd(middle, two)).toBeCloseTo(Math.sqrt(agreeing * (1.29 - 2.49 / 4)) * GROWTH_AT_4, 3)
    // Side by side they are off alike, but for the 0.09 that any two places differ by.
    const beside = [steady(), steady({ id: 'T' })]
    expect(windSd(middle, beside)).toBeCloseTo(Math.sqrt(agreeing * (1.29 - 0.09 / 4)) * GROWTH_AT_4, 3)
    expect(temperatureSd(middle, two)).toBeCloseTo(Math.sqrt(0.33 / 2), 3)
    const { stations } = airAt(two, middle)
    expect(stations.map((s) => s.id)).toEqual(['S', 'T'])
    for (const s of stations) {
      expect(s.weight).toBeCloseTo(0.5, 3)
      expect(Math.abs(s.distanceM / 30_000 - 1)).toBeLessThan(2e-3)
      expect(s.gapS).toBe(0)
    }
  })

  it('cells of a weather model miss the air alike, a station and a model each in its own way', () => {
    const cell = (id: string, km: number) => steady({ id, latitude: 48 + km * KM_NORTH, quality: 'model' })
    // 1.7 m/s of the model as it is, and the way between as between stations.
    const cells = 1.29 - 2.49 / 4 + 1.7 ** 2
    expect(windSd({ km: 30 }, [cell('a', 0), cell('b', 60)])).toBeCloseTo(Math.sqrt(cells) * GROWTH_AT_4, 3)
    // Inverse variances: 1.29 and (4 m/s · 12 %)² of the station, 1.29, 2.89 and (4 m/s · 20 %)² of the model.
    const [station, model] = [1 / (1.29 + 0.48 ** 2), 1 / (1.29 + 2.89 + 0.8 ** 2)]
    const [w, v] = [station / (station + model), model / (station + model)]
    const both = w * 1.29 + v * (1.29 + 2.89) - w * v * (2.49 + 2.89)
    const mixed = [steady(), cell('b', 60)]
    expect(windSd({ km: 30 }, mixed)).toBeCloseTo(Math.sqrt(both) * GROWTH_AT_4, 2)
  })

  it('a logger in the car stands where the road is', () => {
    // 0.09 from it, 1.29 from the station 30 km away, and 1.29 between the two; errors of 12 % of 4 m/s each.
    const own = 0.48 ** 2
    const [w, v] = [1 / (0.09 + own), 1 / (1.29 + own)].map((x, _, all) => x / (all[0] + all[1]))
    const variance = w * 0.09 + v * 1.29 - w * v * 1.29
    const both = [steady({ id: 'car', onRoad: true }), steady({ id: 'T', latitude: 48 + 60 * KM_NORTH })]
    expect(windSd({ km: 30 }, both)).toBeCloseTo(Math.sqrt(variance) * GROWTH_AT_4, 2)
  })

  it('stations that differ by more than usual from each other are less sure of the road', () => {
    const from = (degrees: number) => [
      steady(),
      steady({ id: 'T', latitude: 48 + 60 * KM_NORTH }, { windFromDeg: [degrees, degrees, degrees] }),
    ]
    // 60 km: 0.09 + 2.4 (m/s)² in an ordinary wind; of the stations (4 m/s · 12 %)² and (4 m/s · 6°)², half for each component.
    const own = (0.48 ** 2 + (4 * 6 * (Math.PI / 180)) ** 2) / 2
    const usual = 2 * (2.49 * GROWTH_AT_4 ** 2 + 2 * own)
    for (const turn of [0, 20, 60, 120]) {
      const apart = (4 * 2 * Math.sin((turn * Math.PI) / 360)) ** 2
      const scale = (6 + 4 * (apart / usual)) / 10
      expect(disagreementOf(prepareField(from(270 + turn)).stations, at48)).toBeCloseTo(scale, 2)
    }
    expect(disagreementOf(prepareField([steady()]).stations, at48)).toBe(1)
  })

  it('weights are inverse variances, the instrument’s own among them', () => {
    // Wind: departure 0.09 at the place, 1.29 at 30 km, and (4 m/s · 12 %)² of the station each.
    const near = steady({ id: 'near' })
    const far = steady(
      { id: 'far', latitude: 48 + 30 * KM_NORTH },
      { windSpeedMps: [8, 8, 8], temperatureK: [293.15, 293.15, 293.15] },
    )
    const air = airAt([near, far])
    const own = 0.48 ** 2
    const [w1, w2] = [1 / (0.09 + own), 1 / (1.29 + own)]
    expect(air.stations.map((s) => s.weight)).toEqual([
      expect.closeTo(w1 / (w1 + w2), 3),
      expect.closeTo(w2 / (w1 + w2), 3),
    ])
    expect(air.along.windEastMps[0]).toBeCloseTo((4 * w1 + 8 * w2) / (w1 + w2), 2)
    expect(air.along.windNorthMps[0]).toBeCloseTo(0, 9)
    // Temperature: 0.09 and 0.33, and 0.3² + 0.1²/12 of the thermometer.
    const thermometer = 0.09 + 0.01 / 12
    const [t1, t2] = [1 / (0.09 + thermometer), 1 / (0.33 + thermometer)]
    expect(air.along.temperatureK[0]).toBeCloseTo((283.15 * t1 + 293.15 * t2) / (t1 + t2), 2)
  })

  it('a report in steps of 1 K is less sure by 1/√12 K, a driver’s note by 2 K', () => {
    const errors = (series: StationSeries) => prepareStation(series).errors
    // Rectangular of width 1: u = 1/√12 (JCGM 100, 4.3.7).
    expect(errors(steady({}, { temperatureStepK: [Number.NaN, 1, 1] })).temperatureK).toBeCloseTo(
      Math.sqrt(0.09 + 1 / 12),
      12,
    )
    expect(errors(steady()).temperatureK).toBeCloseTo(Math.sqrt(0.09 + 0.01 / 12), 12)
    const note = errors(steady({ quality: 'note' }))
    const instrument = errors(steady())
    expect(note.temperatureK).toBe(2)
    for (const name of ['temperatureK', 'relativeHumidity', 'pressurePa', 'windSpeed', 'windFromDeg'] as const) {
      expect(note[name]).toBeGreaterThan(2 * instrument[name])
    }
  })
})

describe('how far a station speaks', () => {
  const heard = (series: StationSeries, where: Parameters<typeof airAt>[1]): boolean =>
    airAt([series], where).stations.length > 0
  const once = (place: Place = {}): StationSeries =>
    station([T0], { temperatureK: [283.15], windSpeedMps: [4], windFromDeg: [270] }, place)

  it.each([
    { what: '299 km', place: {}, where: { km: 299 }, want: true },
    { what: '301 km', place: {}, where: { km: 301 }, want: false },
    {
      what: 'a logger in the car, wherever it is',
      place: { onRoad: true, latitude: Number.NaN, longitude: Number.NaN },
      where: { km: 500 },
      want: true,
    },
    { what: 'three hours after', place: {}, where: { time: T0 + 3 * HOUR }, want: true },
    { what: 'a minute more', place: {}, where: { time: T0 + 3 * HOUR + 60 }, want: false },
    { what: 'as much before', place: {}, where: { time: T0 - 3 * HOUR - 60 }, want: false },
    { what: 'a logger, three hours', place: { onRoad: true }, where: { time: T0 + 3 * HOUR }, want: true },
    { what: 'a logger, a minute more', place: { onRoad: true }, where: { time: T0 + 3 * HOUR + 60 }, want: false },
    { what: 'a note, six hours', place: { quality: 'note' as const }, where: { time: T0 - 6 * HOUR }, want: true },
    { what: 'a note, beyond', place: { quality: 'note' as const }, where: { time: T0 - 6 * HOUR - 60 }, want: false },
    { what: 'a note on another run', place: { onlyForRun: 'other' }, where: {}, want: false },
    { what: 'a note on this run', place: { onlyForRun: 'run' }, where: {}, want: true },
  ])('$what: $want', ({ place, where, want }) => {
    expect(heard(once(place), where)).toBe(want)
  })

  it('says what is missing', () => {
    expect(airAt([]).missing).toEqual(['temperature', 'wind'])
    expect(airAt([station([T0], { temperatureK: [283.15] })]).missing).toEqual(['wind'])
    expect(airAt([station([T0], { windSpeedMps: [3], windFromDeg: [90] })]).missing).toEqual(['temperature'])
    expect(airAt([once()]).missing).toEqual([])
  })

  it('stations beyond 100 km or 90 minutes count only where no nearer one does, with more doubt', () => {
    const near = once()
    const far = station([T0], { temperatureK: [263.15], windSpeedMps: [20], windFromDeg: [90] }, { latitude: 50 })
    const both = airAt([near, far])
    expect(both.stations.map(({ id }) => id)).toEqual(airAt([near]).stations.map(({ id }) => id))
    expect(both.along.temperatureK[0]).toBe(airAt([near]).along.temperatureK[0])
    expect(both.farShare).toBe(0)
    const alone = airAt([far])
    expect(alone.farShare).toBe(1)
    expect(alone.along.windDepartureSdMps[0]).toBeGreaterThan(both.along.windDepartureSdMps[0])
    expect(airAt([near], { time: T0 + 2 * HOUR }).farShare).toBe(1)
  })

  const overFiveHours = (hours: number[]) =>
    airAlong(prepareField([once()]), 'run', {
      time: Float64Array.from(hours, (h) => T0 + h * HOUR),
      latitude: new Float64Array(hours.length).fill(48),
      longitude: new Float64Array(hours.length).fill(9),
      elevationM: Float64Array.from(hours, (h) => 300 + 100 * h),
    })

  it('a stretch beyond takes the nearest air of the drive with the spread of a season', () => {
    const { missing, beyondShare, along } = overFiveHours([0, 1, 2, 4])
    expect(missing).toEqual([])
    expect(beyondShare).toBe(0.25)
    // 200 m higher than two hours before: 1.3 K colder (ISO 2533: 6.5 K/km), and 24 hPa less pressure.
    expect(along.temperatureK[3]).toBeCloseTo(along.temperatureK[2] - 1.3, 9)
    expect((along.pressurePa[2] - along.pressurePa[3]) / 100).toBeGreaterThan(21)
    expect((along.pressurePa[2] - along.pressurePa[3]) / 100).toBeLessThan(25)
    expect(along.windEastMps[3]).toBe(along.windEastMps[2])
    expect([along.windDepartureSdMps[3], along.temperatureDepartureSdK[3]]).toEqual([3.2, 5])
    expect(along.windDepartureSdMps[2]).toBeLessThan(3.2)
  })

  it('it is missing where that would be more than half; nothing is assumed without a temperature', () => {
    const { missing, beyondShare } = overFiveHours([0, 4, 4.5])
    expect(missing).toEqual(['temperature', 'wind'])
    expect(beyondShare).toBe(0)
    const { along, assumed } = airAt([station([T0], { windSpeedMps: [3], windFromDeg: [90] })])
    expect(assumed).toEqual({ pressureSdPa: 0, humiditySd: 0 })
    expect([along.relativeHumidity[0], along.pressurePa[0]]).toEqual([Number.NaN, Number.NaN])
  })

  it('gusts are those from half an hour before to half an hour after the run', () => {
    const gusty = station([T0 - 1860, T0 - 1800, T0, T0 + 1800, T0 + 1860], {
      temperatureK: [283, 283, 283, 283, 283],
      windGustMps: [30, 9, 8, 11, 40],
    })
    expect(airAt([gusty]).gustMps).toBe(11)
  })

  it('a station that knows the temperature alone is heard for that', () => {
    const { stations } = airAt([station([T0], { temperatureK: [283.15] })])
    expect(stations.map((s) => s.weight)).toEqual([1])
    expect(airAt([]).stations).toEqual([])
    expect(airAt([]).along.windDepartureSdMps[0]).toBeNaN()
  })

  it('has the largest gap and the mean distance over the run', () => {
    const { stations, along } = airAlong(prepareField([once()]), 'run', {
      time: Float64Array.of(T0, T0 + 600, T0 + 1200),
      latitude: Float64Array.of(48, 48 + 10 * KM_NORTH, 48 + 20 * KM_NORTH),
      longitude: Float64Array.of(9, 9, 9),
      elevationM: Float64Array.of(300, 300, 300),
    })
    expect(stations[0].gapS).toBe(1200)
    expect(Math.abs(stations[0].distanceM / 10_000 - 1)).toBeLessThan(2e-3)
    expect(stations[0].weight).toBeCloseTo(1, 12)
    expect(along.temperatureK.length).toBe(3)
  })
})

describe('between observations', () => {
  const timed = { time: [0, 1000, 5000, 40_000], value: [10, 20, 60, 100] }

  it.each([
    { time: 0, want: { value: 10, gapS: 0 } },
    { time: 250, want: { value: 12.5, gapS: 250 } },
    { time: 1000, want: { value: 20, gapS: 0 } },
    { time: 4000, want: { value: 50, gapS: 1000 } },
    { time: 40_000, want: { value: 100, gapS: 0 } },
    // Held at the ends.
    { time: -500, want: { value: 10, gapS: 500 } },
    { time: 41_000, want: { value: 100, gapS: 1000 } },
    // Too far apart to draw a line between them: the nearer one.
    { time: 7000, want: { value: 60, gapS: 2000 } },
    { time: 38_000, want: { value: 100, gapS: 2000 } },
    // Beyond reach of both.
    { time: 20_000, want: null },
    { time: -3001, want: null },
    { time: -3000, want: { value: 10, gapS: 3000 } },
    { time: 43_001, want: null },
  ])('at $time', ({ time, want }) => {
    expect(interpolate(timed, time, within(3000))).toEqual(want)
  })

  it('the nearer one counts from the time asked for', () => {
    const far = { time: [100_000, 108_000], value: [1, 2] }
    expect(interpolate(far, 102_000, within(3000))?.value).toBe(1)
    expect(interpolate(far, 106_000, within(3000))?.value).toBe(2)
  })

  it('what is missing in a report is drawn through', () => {
    const holed = station([T0, T0 + HOUR, T0 + 2 * HOUR], { temperatureK: [283, Number.NaN, 285] })
    expect(airAt([holed], { time: T0 + HOUR }).along.temperatureK[0]).toBe(284)
    expect(prepareStation(holed).temperatureK.time).toEqual([T0, T0 + 2 * HOUR])
  })

  it('a line is drawn where both ends are within reach of its middle', () => {
    const two = { time: [0, 6000], value: [0, 60] }
    expect(interpolate(two, 1500, within(3000))?.value).toBe(15)
    expect(interpolate(two, 1500, within(2999))?.value).toBe(0)
    expect(interpolate({ time: [], value: [] }, 0, within(3000))).toBeNull()
  })
})

describe('a station’s own pressure', () => {
  const pressure = (columns: Partial<Record<Column, number[]>>, elevationM = 300): number =>
    prepareStation(station([T0], columns, { elevationM })).pressurePa.value[0]

  it('is what it reports, else from the altimeter setting, else from sea level', () => {
    const all = {
      stationPressurePa: [97_000],
      altimeterPa: [101_000],
      seaLevelPressurePa: [102_000],
      temperatureK: [288.15],
    }
    expect(pressure(all)).toBe(97_000)
    // ISA (ISO 2533), 1000 m: QNH 1010 hPa is 895.796 hPa there.
    expect(pressure({ ...all, stationPressurePa: [Number.NaN] }, 1000)).toBeCloseTo(89_579.6, 0)
    // Hypsometric equation, mean 288.15 + 3.25·0.3 = 289.125 K: exp(−9.80665·300/(287.05287·289.125)) = 0.965172.
    const byTemperature = pressure({ seaLevelPressurePa: [102_000], temperatureK: [288.15] })
    expect(byTemperature / 102_000).toBeCloseTo(0.965172, 5)
    // 15 °C are taken where the temperature is missing.
    expect(pressure({ seaLevelPressurePa: [102_000] })).toBeCloseTo(byTemperature, 9)
    expect(pressure({ seaLevelPressurePa: [102_000], temperatureK: [268.15] })).toBeLessThan(byTemperature)
  })

  it('is brought to the road, or taken from the standard atmosphere where nobody reports any', () => {
    const known = steady({}, { stationPressurePa: [97_000, 97_000, 97_000] })
    const at = (elevationM: number, series = [known]): RunAir => airAt(series, { elevationM })
    // 8.3 m/hPa near 975 hPa and 10 °C (hypsometric, Tv 283.9 K at 60 %): 100·9.80665/(287.05·284) = 1.2030 %, less its square.
    expect(at(400).along.pressurePa[0] / 97_000).toBeCloseTo(Math.exp(-0.012034), 4)
    expect(at(400).assumed.pressureSdPa).toBe(0)
    expect(at(Number.NaN).along.pressurePa[0]).toBe(97_000)
    // ISO 2533: 954.608 hPa at 500 m, 1013.25 at sea level.
    expect(at(500, [steady()]).along.pressurePa[0]).toBeCloseTo(95_460.8, 0)
    expect(at(500, [steady()]).assumed.pressureSdPa).toBe(900)
    expect(at(Number.NaN, [steady()]).along.pressurePa[0]).toBe(101_325)
  })

  it('of two stations the nearer is heard more', () => {
    const here = steady({}, { stationPressurePa: [97_000, 97_000, 97_000] })
    const there = steady({ id: 'T', latitude: 48 + 50 * KM_NORTH }, { stationPressurePa: [98_000, 98_000, 98_000] })
    // Variances 50² and 50² + 50² Pa²: two thirds and one third.
    expect(airAt([here, there]).along.pressurePa[0]).toBeCloseTo(97_333, -1)
  })
})

describe('humidity', () => {
  const humidity = (columns: Partial<Record<Column, number[]>>): RunAir =>
    airAt([station([T0], { temperatureK: [293.15], ...columns })])

  it('is from the dew point, else from the relative humidity', () => {
    // 20 °C with a dew point of 10 °C: 52.56 % (WMO-No. 8, Magnus form).
    expect(humidity({ dewPointK: [283.15], relativeHumidity: [0.9] }).along.relativeHumidity[0]).toBeCloseTo(0.5256, 4)
    expect(humidity({ relativeHumidity: [0.7] }).along.relativeHumidity[0]).toBeCloseTo(0.7, 9)
    expect(humidity({ relativeHumidity: [0.7] }).assumed.humiditySd).toBe(0)
  })

  it('is no more than saturated, and assumed where nobody reports it', () => {
    expect(humidity({ dewPointK: [294.15] }).along.relativeHumidity[0]).toBe(1)
    const assumed = humidity({})
    expect(assumed.along.relativeHumidity[0]).toBe(0.6)
    expect(assumed.assumed).toEqual({ pressureSdPa: 900, humiditySd: 0.2 })
  })

  it('makes the density with temperature and pressure', () => {
    const { along } = humidity({ relativeHumidity: [0.5], stationPressurePa: [101_325] })
    // CIPM-2007: 1.1993139 kg/m³ at 20 °C, 1013.25 hPa, 50 %; Magnus' dew point is good to 1e-5.
    expect(along.densityKgM3[0]).toBeCloseTo(1.19931, 4)
    expect(airAt([station([T0], { windSpeedMps: [3], windFromDeg: [90] })]).along.densityKgM3[0]).toBeNaN()
  })
})

describe('wind', () => {
  it('without a direction comes from anywhere, a calm from nowhere', () => {
    const undirected = airAt([station([T0], { temperatureK: [283.15], windSpeedMps: [5] })]).along
    expect([undirected.windEastMps[0], undirected.windNorthMps[0], undirected.undirectedMps[0]]).toEqual([0, 0, 5])
    const directed = airAt([steady()]).along
    expect(directed.undirectedMps[0]).toBe(0)
    expect(directed.windEastMps[0]).toBeCloseTo(4, 12)
  })

  it('at a mast of another height is brought to 10 m by the log law over open land; as it is where the height is unknown', () => {
    const at = (anemometerHeightM: number): number => airAt([steady({ anemometerHeightM })]).along.windEastMps[0]
    // z0 = 0.03 m (WMO-No. 8): u(5)/u(10) = 0.8807.
    expect(at(5)).toBeCloseTo(4 / 0.8807, 3)
    expect(at(10)).toBeCloseTo(4, 12)
    expect(at(Number.NaN)).toBeCloseTo(4, 12)
  })
})
