import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { decodeMetar } from '../../../src/read/weather/metar/metar-groups.ts'
import { loadStations } from '../../../src/read/weather/stations/stations.ts'
import { stepM } from '../../../src/track/geodesy.ts'

const { find, all } = await loadStations()
const weather = (name: string) => readFileSync(new URL(`../../data/weather/${name}`, import.meta.url), 'utf8')
const MIXED = weather('metar-raw/metars_mixed_airports.txt')

describe('the table of stations', () => {
  // Barometers stand near, not at, the reference point: 20 m and 0.03 degrees are asked.
  it.each([
    ['VOHY', 17.4531, 78.4676, 545, 'Iowa Environmental Mesonet, iem-asos/measures2.txt'],
    ['KORD', 41.995, -87.934, 205, 'NOAA ISD control section, isd-fixed-width/725300.txt'],
    ['KLSE', 43.879, -91.253, 200, 'NOAA ISD control section, isd-fixed-width/726430.txt'],
    ['EDDF', 50.0264, 8.5431, 110.9, 'NOAA NCEI, ghcnh-station-list.csv'],
    ['EGLL', 51.4775, -0.4614, 25.3, 'NOAA NCEI, ghcnh-station-list.csv'],
    ['KAPC', 38.2132, -122.2807, 10.7, 'from memory: US chart supplement, Napa County, 36 ft'],
  ])('has %s where an independent archive has it', (icao, latitude, longitude, elevationM) => {
    const place = find(icao)!
    expect(Math.abs(place.latitude - latitude)).toBeLessThan(0.03)
    expect(Math.abs(place.longitude - longitude)).toBeLessThan(0.03)
    expect(Math.abs(place.elevationM - elevationM)).toBeLessThan(20)
  })

  it('agrees with the positions of NOAA’s station list, which gives most to the minute of arc', () => {
    // weather-util-data of Debian, from nsd_cccc.txt. That list is wrong in places, in this part of it three times (from
    // memory of maps): Mexicali is not at Tijuana's longitude, General Santos lies at 6° north, Sierra Vista in Arizona.
    const rows = weather('station-positions-noaa.csv')
      .split('\n')
      .flatMap((line) => (/^[A-Z]/.test(line) ? [line.split(',')] : []))
    const apart = rows
      .map(([code, latitude, longitude]) => {
        const place = find(code)!
        return { code, metres: stepM(place.latitude, place.longitude, Number(latitude), Number(longitude)) }
      })
      .sort((a, b) => a.metres - b.metres)
    expect(apart.length).toBeGreaterThan(400)
    expect(apart[Math.floor(0.5 * apart.length)].metres).toBeLessThan(1000)
    expect(apart[Math.floor(0.85 * apart.length)].metres).toBeLessThan(3000)
    expect(apart.flatMap(({ code, metres }) => (metres > 100_000 ? [code] : []))).toEqual(['MMML', 'RPMR', 'KFHU'])
  })

  it('has the elevations that QNH and QFE of the same report imply', () => {
    // ISO 2533: h = 44330.77 m · (1 − (p/1013.25)^0.190263). Both pressures are whole hPa or mmHg rounded down, which is
    // 11 m each way, and QFE may be that of a runway's threshold: 25 m are asked.
    const height = (pascals: number) => 44330.77 * (1 - (pascals / 101325) ** 0.190263)
    const off = new Map<string, number>()
    for (const report of MIXED.split('\n')) {
      const groups = decodeMetar(report)
      const place = groups && find(groups.station)
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

  it('places 98 of 100 stations of a mixed collection, small fields among them', () => {
    const codes = [...new Set(MIXED.split('\n').flatMap((line) => /^([A-Z][A-Z0-9]{3}) \d{6}Z/.exec(line)?.[1] ?? []))]
    expect(codes.length).toBeGreaterThan(500)
    const placed = codes.filter((code) => find(code) !== null)
    expect(placed.length / codes.length).toBeGreaterThan(0.98)
    for (const small of ['KAPC', 'KPAO', 'KCHD', 'KSUW']) expect(find(small)?.elevationM).toBeGreaterThan(0)
  })

  it('knows a US field by the three characters that US services write', () => {
    expect(find('CVG')).toEqual(find('KCVG'))
    expect(find('1A6')).toEqual(find('K1A6'))
  })

  it('says nothing of what it does not have', () => {
    expect(find('XXXX')).toBeNull()
    expect(find('')).toBeNull()
    expect(find('10637')).toBeNull()
    expect(find(' kord ')).toEqual(find('KORD'))
  })

  it('lists every station once, on Earth and at a height that land has', () => {
    const stations = all()
    expect(new Set(stations.map(({ code }) => code)).size).toBe(stations.length)
    for (const { code, latitude, longitude, elevationM } of stations) {
      expect(find(code), code).toMatchObject({ latitude, longitude })
      expect(Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180, code).toBe(true)
      // The shore of the Dead Sea; the highest airport, Daocheng Yading, has 4411 m, helipads stand higher.
      if (!Number.isNaN(elevationM)) expect(elevationM > -440 && elevationM < 6000, `${code} ${elevationM}`).toBe(true)
    }
    expect(stations.filter(({ elevationM }) => Number.isNaN(elevationM)).length / stations.length).toBeLessThan(0.03)
  })
})
