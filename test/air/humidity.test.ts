import psychrolib from 'psychrolib'
import { beforeAll, describe, expect, it } from 'vitest'
import {
  dewPointK,
  relativeHumidityFrom,
  saturationPressureCipmPa,
  saturationPressurePa,
  saturationTemperatureK,
} from '../../src/air/humidity.ts'
import { celsiusFromKelvin, kelvinFromCelsius } from '../../src/base/units.ts'

beforeAll(() => psychrolib.SetUnitSystem(psychrolib.SI))

// hPa. iapws: IAPWS SR1-86(1992), Wagner and Pruß. cipm, wmo: computed from the published coefficients by another program.
const saturation = [
  { t: -20, iapws: null, cipm: 1.2558, wmo: 1.2597 },
  { t: -10, iapws: null, cipm: 2.8652, wmo: 2.8703 },
  { t: 0, iapws: 6.1121, cipm: 6.1121, wmo: 6.112 },
  { t: 10, iapws: 12.2811, cipm: 12.2811, wmo: 12.2603 },
  { t: 20, iapws: 23.3919, cipm: 23.3916, wmo: 23.326 },
  { t: 25, iapws: 31.6982, cipm: 31.6976, wmo: 31.6006 },
  { t: 30, iapws: 42.4692, cipm: 42.468, wmo: 42.3372 },
  { t: 40, iapws: 73.8511, cipm: 73.8482, wmo: 73.6746 },
  { t: 50, iapws: 123.5248, cipm: 123.519, wmo: 123.4516 },
]

describe('saturation vapour pressure', () => {
  it.each(saturation)('has the published values at $t °C', ({ t, iapws, cipm, wmo }) => {
    const temperatureK = kelvinFromCelsius(t)
    // Half of the last digit printed, 0.5e-4 hPa; one more digit at 50 °C, where the table has three decimals.
    const printed = t === 50 ? 0.05 : 0.005
    expect(Math.abs(saturationPressureCipmPa(temperatureK) - cipm * 100)).toBeLessThan(printed + 1e-6)
    expect(Math.abs(saturationPressurePa(temperatureK) - wmo * 100)).toBeLessThan(0.005 + 1e-6)
    if (iapws === null) return
    // 0.35 %: how far apart the WMO and IAPWS formulas are between 0 and 50 °C. CIPM follows IAPWS to 1e-4.
    expect(Math.abs(saturationPressurePa(temperatureK) / (iapws * 100) - 1)).toBeLessThan(0.0035)
    expect(Math.abs(saturationPressureCipmPa(temperatureK) / (iapws * 100) - 1)).toBeLessThan(1e-4)
  })

  // ASHRAE Handbook 2017; its formula is within 2e-4 of IAPWS, ours within 0.35 %.
  it.each([5, 20, 30, 45])('agrees with ASHRAE at %i °C', (t) => {
    const ashrae = psychrolib.GetSatVapPres(t)
    expect(Math.abs(saturationPressurePa(kelvinFromCelsius(t)) / ashrae - 1)).toBeLessThan(0.0035)
    expect(Math.abs(saturationPressureCipmPa(kelvinFromCelsius(t)) / ashrae - 1)).toBeLessThan(4e-4)
  })

  it('is undone by its inverse', () => {
    for (let t = -40; t <= 60; t += 5) {
      const back = saturationTemperatureK(saturationPressurePa(kelvinFromCelsius(t)))
      expect(Math.abs(celsiusFromKelvin(back) - t)).toBeLessThan(1e-9)
    }
    expect(saturationTemperatureK(0)).toBeNaN()
    expect(saturationTemperatureK(-1)).toBeNaN()
  })
})

describe('dewPointK', () => {
  // WMO-No. 8 closed form, computed by another program; half of the last digit printed.
  it.each([
    { t: 20, rh: 0.5, want: 9.255 },
    { t: 25, rh: 0.6, want: 16.693 },
    { t: 30, rh: 0.7, want: 23.927 },
    { t: 10, rh: 0.8, want: 6.706 },
    { t: 0, rh: 0.9, want: -1.445 },
    { t: 35, rh: 0.2, want: 8.688 },
  ])('is $want °C at $t °C and humidity $rh', ({ t, rh, want }) => {
    const got = celsiusFromKelvin(dewPointK(kelvinFromCelsius(t), rh))
    expect(Math.abs(got - want)).toBeLessThan(0.00051)
    // 0.05 °C: across formulas, above 0 °C (below it, ASHRAE's is over ice).
    if (want > 0) expect(Math.abs(got - psychrolib.GetTDewPointFromRelHum(t, rh))).toBeLessThan(0.05)
  })

  it('is the temperature itself in saturated air, and does not exist in dry air', () => {
    expect(dewPointK(290, 1)).toBeCloseTo(290, 9)
    expect(dewPointK(290, 0)).toBeNaN()
    expect(dewPointK(Number.NaN, 0.5)).toBeNaN()
    expect(dewPointK(290, Number.NaN)).toBeNaN()
  })
})

describe('relativeHumidityFrom', () => {
  // WMO-No. 8, computed by another program; the last is the METAR group T00640036. Half of the last digit printed.
  it.each([
    { t: 20, td: 10, want: 52.56 },
    { t: 25, td: 15, want: 53.85 },
    { t: 30, td: 20, want: 55.1 },
    { t: 10, td: 5, want: 71.1 },
    { t: 6, td: 4, want: 87.01 },
    { t: 6.4, td: 3.6, want: 82.3 },
  ])('is $want % at $t °C with a dew point of $td °C', ({ t, td, want }) => {
    const got = 100 * relativeHumidityFrom(kelvinFromCelsius(t), kelvinFromCelsius(td))
    expect(Math.abs(got - want)).toBeLessThan(0.0051)
    // 0.2 % of humidity: across formulas.
    expect(Math.abs(got - 100 * psychrolib.GetRelHumFromTDewPoint(t, td))).toBeLessThan(0.2)
  })

  it('undoes dewPointK', () => {
    for (const rh of [0.05, 0.4, 0.99]) expect(relativeHumidityFrom(285, dewPointK(285, rh))).toBeCloseTo(rh, 12)
  })

  it('does not clip a dew point above the temperature, and is NaN when either is', () => {
    expect(relativeHumidityFrom(283.15, 283.65)).toBeGreaterThan(1)
    expect(relativeHumidityFrom(Number.NaN, 280)).toBeNaN()
    expect(relativeHumidityFrom(280, Number.NaN)).toBeNaN()
  })
})
