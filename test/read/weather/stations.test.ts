import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { decodeMetar } from '../../../src/read/weather/metar-groups.ts'
import { loadStationTable } from '../../../src/read/weather/stations.ts'

const lookUp = await loadStationTable()

describe('the table of airports', () => {
  // Barometers stand near, not at, the reference point: 20 m and 0.03 degrees are asked.
  it.each([
    ['VOHY', 17.4531, 78.4676, 545, 'Iowa Environmental Mesonet, iem-asos/measures2.txt'],
    ['KORD', 41.995, -87.934, 205, 'NOAA ISD control section, isd-fixed-width/725300.txt'],
    ['KLSE', 43.879, -91.253, 200, 'NOAA ISD control section, isd-fixed-width/726430.txt'],
  ])('has %s where an independent archive has it', (icao, latitude, longitude, elevationM) => {
    const place = lookUp(icao)!
    expect(Math.abs(place.latitude - latitude)).toBeLessThan(0.03)
    expect(Math.abs(place.longitude - longitude)).toBeLessThan(0.03)
    expect(Math.abs(place.elevationM - elevationM)).toBeLessThan(20)
  })

  it('has the elevations that QNH and QFE of the same report imply', () => {
    // ISO 2533: h = 44330.77 m · (1 − (p/1013.25)^0.190263). Both pressures are whole hPa or mmHg rounded down, which is
    // 11 m each way, and QFE may be that of a runway's threshold: 25 m are asked.
    const height = (pascals: number) => 44330.77 * (1 - (pascals / 101325) ** 0.190263)
    const text = readFileSync(
      new URL('../../data/weather/metar-raw/metars_mixed_airports.txt', import.meta.url),
      'utf8',
    )
    const off = new Map<string, number>()
    for (const report of text.split('\n')) {
      const groups = decodeMetar(report)
      const place = groups && lookUp(groups.station)
      if (!groups || !place || Number.isNaN(groups.stationPressurePa)) continue
      off.set(groups.station, height(groups.stationPressurePa) - height(groups.altimeterPa) - place.elevationM)
    }
    expect(off.size).toBeGreaterThan(15)
    // Three stand 28 to 46 m higher than their reports say; which of the two is right is not known here.
    const far = [...off].filter(([, metres]) => !(Math.abs(metres) < 25))
    expect(far.map(([icao, metres]) => [icao, Math.round(metres)])).toEqual([
      ['UAII', -28],
      ['URMN', -31],
      ['UTDK', -46],
    ])
  })

  it('covers at least two thirds of the airports of a mixed collection', () => {
    const text = readFileSync(
      new URL('../../data/weather/metar-raw/metars_mixed_airports.txt', import.meta.url),
      'utf8',
    )
    const codes = [
      ...new Set(
        text
          .split('\n')
          .filter((line) => line !== '')
          .map((line) => line.slice(0, 4)),
      ),
    ]
    expect(codes.filter((code) => lookUp(code) !== null).length / codes.length).toBeGreaterThan(2 / 3)
  })

  it('says nothing of what it does not have, and of elevations that are unknown', () => {
    expect(lookUp('XXXX')).toBeNull()
    expect(lookUp('')).toBeNull()
    expect(lookUp('MYLR')?.elevationM).toBeNaN()
    expect(lookUp(' kord ')).toEqual(lookUp('KORD'))
  })
})
