import { readFileSync } from 'node:fs'
import { parseMetar } from 'metar-taf-parser'
import { describe, expect, it } from 'vitest'
import { decodeMetar, type MetarGroups } from '../../../src/read/weather/metar/metar-groups.ts'

type Row = [report: string, want: Record<string, unknown>, source: string]

// Speeds in m/s and pressures in hPa as printed in the published tables, so compared to half of their last digit.
const PUBLISHED: Row[] = [
  [
    'METAR KABC 121755Z AUTO 21016G24KT 180V240 1SM R11/P6000FT -RA BR BKN015 OVC025 06/04 A2990 RMK AO2 PK WND 20032/25 WSHFT 1715 ... SLP125 P0003 60009 T00640036 10066 21012 58033 TSNO $',
    {
      at: [12, 17, 55],
      automatic: true,
      windFromDeg: 210,
      speed: 8.231,
      gust: 12.347,
      windSectorDeg: [180, 240],
      presentWeather: '-RA BR',
      air: 6.4,
      dew: 3.6,
      temperatureStepK: 0.1,
      altimeter: 1012.53,
      seaLevel: 1012.5,
      precipitationMm: 0.762,
    },
    'moratech.com quick-metar and the NWS key card (asiresource.com/metar.htm); P0003 = 0.03 in',
  ],
  [
    'KPIT 211151Z 25009KT 1 1/2SM -SN FEW021 BKN027 OVC035 M12/M15 A3014 RMK A02 SLP236 8/546 P0000 60000 T11171150 11106 21131 51016',
    {
      at: [21, 11, 51],
      automatic: false,
      windFromDeg: 250,
      speed: 4.63,
      air: -11.7,
      dew: -15,
      altimeter: 1020.66,
      seaLevel: 1023.6,
      presentWeather: '-SN',
    },
    'met.tamu.edu/class/wflm/metar_decode.htm',
  ],
  [
    'KSBP 231447Z 00000KT 25SM SKC 05/04 A3027',
    {
      windFromDeg: Number.NaN,
      windVariable: false,
      speed: 0,
      gust: Number.NaN,
      air: 5,
      dew: 4,
      temperatureStepK: 1,
      altimeter: 1025.06,
      presentWeather: '',
    },
    'same page',
  ],
  [
    'KMEM 230853Z AUTO 18014G18KT 10SM CLR 16/M02 A3008 RMK AO2 SLP117 T01561022 TSNO $',
    { windFromDeg: 180, speed: 7.202, gust: 9.26, air: 15.6, dew: -2.2, altimeter: 1018.63, seaLevel: 1011.7 },
    'dixwx.com/wxdecoding.htm; 14 and 18 kt by 1852/3600',
  ],
  [
    'KABQ 100156Z 32010KT 280V340 10SM TS ... 19/14 A2999 RMK ... SLP085 ... T01940144',
    { air: 19.4, dew: 14.4, seaLevel: 1008.5, windSectorDeg: [280, 340], presentWeather: 'TS' },
    'same page',
  ],
  [
    'SVVA 171100Z 00000KT 9999 FEW016 BKN250 21/19 Q1013 NOSIG',
    { speed: 0, windFromDeg: Number.NaN, air: 21, dew: 19, altimeter: 1013 },
    'same page',
  ],
  ['KBIL 010000Z 00000KT M02/M02 A2961 RMK T10171022', { air: -1.7, dew: -2.2 }, 'same page (KBIL), T-group only'],
  [
    'METAR YUDO 221630Z 24004MPS 0600 R12/1000U DZ FG SCT010 OVC020 17/16 Q1018',
    { windFromDeg: 240, speed: 4, air: 17, dew: 16, altimeter: 1018, presentWeather: 'DZ FG' },
    'ICAO Annex 3, appendix 3, example A3-1, from memory',
  ],
  [
    'UUDD 010000Z 10002MPS 8000 M01/M02 Q0995',
    { windFromDeg: 100, speed: 2, altimeter: 995 },
    'flugdienstberater.org/weather-decode (wind); leading zero of Q computed',
  ],
  [
    'LOWW 010000Z VRB03KT CAVOK M01/M05 Q1030',
    { windFromDeg: Number.NaN, windVariable: true, speed: 1.543, air: -1, dew: -5 },
    'constructed after WMO-No. 306 reg. 15.10, from memory',
  ],
  [
    'UUDD 010000Z 24018KMH 9999 01/M00 Q1030',
    { windFromDeg: 240, speed: 5, dew: 0 },
    '18 km/h = 5.000 m/s, computed; M00 lies between -0.5 and 0, from memory',
  ],
  [
    'UUDD 010000Z 240P49MPS 9999 01/M00 Q1030',
    { speed: 49, windAboveRange: true },
    'P49MPS = above 49 m/s, from memory',
  ],
]

describe('decodeMetar on published reports', () => {
  it.each(PUBLISHED)('%s', (report, want) => {
    const groups = decodeMetar(report)!
    const shown: Record<string, unknown> = {
      ...groups,
      at: [groups.day, groups.hour, groups.minute],
      speed: near(groups.windSpeedMps, want.speed, 0.0005),
      gust: near(groups.windGustMps, want.gust, 0.0005),
      air: near(groups.temperatureK - 273.15, want.air, 1e-9),
      dew: near(groups.dewPointK - 273.15, want.dew, 1e-9),
      altimeter: near(groups.altimeterPa / 100, want.altimeter, 0.005),
      seaLevel: near(groups.seaLevelPressurePa / 100, want.seaLevel, 1e-9),
      precipitationMm: near(groups.precipitationMm, want.precipitationMm, 1e-9),
    }
    for (const [name, value] of Object.entries(want)) expect({ [name]: shown[name] }).toEqual({ [name]: value })
  })
})

/** The wanted number where the value is near enough, else the value. */
const near = (value: number, want: unknown, tolerance: number): unknown =>
  Math.abs(value - (want as number)) <= tolerance ? want : value

describe('decodeMetar on forms that are rare or broken', () => {
  it.each<[string, Partial<MetarGroups>]>([
    [
      'KXYZ 010000Z AUTO /////KT 10SM // ///// A////',
      { windSpeedMps: Number.NaN, temperatureK: Number.NaN, altimeterPa: Number.NaN, presentWeather: null },
    ],
    ['KXYZ 010000Z NIL', { nil: true, presentWeather: null }],
    ['METAR COR KXYZ 010000Z 18005KT', { corrected: true }],
    ['METAR KXYZ 010000Z COR 18005KT', { corrected: true }],
    ['CYUL 010000Z CCA 18005KT', { corrected: true }],
    ['KXYZ 010000Z ///05KT', { windSpeedMps: (5 * 1852) / 3600, windFromDeg: Number.NaN, windVariable: false }],
    ['KXYZ 010000Z 18005KT TEMPO 27025G40KT SHRA', { windFromDeg: 180, windGustMps: Number.NaN, presentWeather: '' }],
    // WMO-No. 306, FM 15, 15.13 (from memory): RE before a group is weather since the last report. Of the road it says what rain does.
    ['KXYZ 010000Z 18005KT RERA +TSRAGR VCSH', { presentWeather: 'RERA +TSRAGR VCSH' }],
    ['LOWL 010420Z 24004KT 9999 FEW040 24/17 Q1015 RESHRA NOSIG', { presentWeather: 'RESHRA' }],
    // US Federal Meteorological Handbook No. 1, chapter 12: PWINO, the present weather identifier is not available.
    ['KXYZ 010000Z AUTO 18005KT 10SM CLR RMK AO2 PWINO', { presentWeather: null }],
    ['KXYZ 010000Z AUTO 18005KT 3SM -RA OVC010 RMK AO2 PWINO', { presentWeather: '-RA' }],
    ['RJAA 010000Z 33005KT 04/M01 Q1019 NOSIG RMK 1CU030 A3011', { altimeterPa: 30.11 * 3386.388640341 }],
    // Sent so by a test of broken reports: the remark contradicts the body.
    ['RJSK 081330Z 22003KT 15/12 A2987 RMK T00500022', { temperatureK: 288.15, temperatureStepK: 1 }],
    // The dew point of the remark is 4.6 K off the body's: such a group was taken.
    [
      'KXYZ 081330Z 22003KT 15/12 A2987 RMK T01480166',
      { temperatureK: 288.15, dewPointK: 285.15, temperatureStepK: 1 },
    ],
    ['KXYZ 081330Z 22003KT 15/12 A2987 RMK T01480116', { temperatureK: 287.95, temperatureStepK: 0.1 }],
    // An A group of the remark that contradicts the setting in the body displaced it.
    ['EHAM 081330Z 22003KT 15/12 Q1012 RMK A2000', { altimeterPa: 101200 }],
    ['EHAM 081330Z 22003KT 15/12 Q1012 RMK A2985', { altimeterPa: 101200 }],
    ['EHAM 081330Z 22003KT 15/12 RMK A2990', { altimeterPa: 29.9 * 3386.388640341 }],
    ['KCXW 012355Z AUTO 15009KT 18/ A2988', { temperatureK: 291.15, dewPointK: Number.NaN }],
    ['UWOO 292300Z 20002MPS M12/M19 Q1040 RMK QFE769/1026', { stationPressurePa: 102600 }],
    ['UUBC 292300Z 20002MPS M12/M19 Q1040 RMK QFE750', { stationPressurePa: 750 * 133.322387415 }],
  ])('%s', (report, want) => {
    expect(decodeMetar(report)).toMatchObject(want)
  })

  it.each([
    '',
    'KXYZ',
    'KXYZ 01000Z 18005KT',
    'AAXX 29231 11001',
    'KXYZ 320000Z 18005KT',
    'KXYZ 012500Z',
    'KX 010000Z',
  ])('gives nothing for "%s"', (report) => expect(decodeMetar(report)).toBeNull())
})

const rawReports = readFileSync(
  new URL('../../data/weather/metar-raw/metars_mixed_airports.txt', import.meta.url),
  'utf8',
)
  .split('\n')
  .filter((line) => line !== '')

describe('decodeMetar on 1,100 reports of 783 airports', () => {
  const decoded = rawReports.map((report) => decodeMetar(report)!)
  const inText = (pattern: RegExp) => rawReports.filter((report) => pattern.test(report)).length
  const beforeTrend = rawReports.map((report) => report.replace(/ (RMK|TEMPO|BECMG|NOSIG) .*/, ' '))
  const inBody = (pattern: RegExp) => beforeTrend.filter((report) => pattern.test(report)).length
  const inGroups = (holds: (groups: MetarGroups) => boolean) => decoded.filter(holds).length
  const known = (value: number) => !Number.isNaN(value)

  it('reads every one', () => expect(decoded.filter((groups) => groups === null)).toEqual([]))

  // Counted by searching the text, without decoding.
  it.each<[string, number, (groups: MetarGroups) => boolean]>([
    ['wind with a speed', inText(/ (VRB|\d{3}|\/\/\/)\d\d+(G\d\d+)?(KT|MPS)( |$)/), (g) => known(g.windSpeedMps)],
    ['calm', inText(/ 00000(KT|MPS)/), (g) => g.windSpeedMps === 0 && !known(g.windFromDeg)],
    ['variable', inBody(/ VRB\d\d/), (g) => g.windVariable],
    ['gusts', inBody(/ (VRB|\d{3})\d\d+G\d\d+(KT|MPS) /), (g) => known(g.windGustMps)],
    ['sector', inBody(/ \d{3}V\d{3} /), (g) => g.windSectorDeg !== null],
    ['tenths', inText(/ T[01]\d{3}([01]\d{3})?( |$)/), (g) => g.temperatureStepK === 0.1],
    ['sea-level pressure', inText(/ SLP\d{3}( |$)/), (g) => known(g.seaLevelPressurePa)],
    ['altimeter setting', inText(/ (Q\d{4}|A\d{4})( |$)/), (g) => known(g.altimeterPa)],
    ['QFE', inText(/ QFE\d{3}/), (g) => known(g.stationPressurePa)],
    ['automatic', inText(/Z AUTO /), (g) => g.automatic],
  ])('finds as many as the text holds: %s (%d)', (_, count, holds) => {
    expect(count).toBeGreaterThan(10)
    expect(inGroups(holds)).toBe(count)
  })

  it('agrees with metar-taf-parser in wind, whole degrees and altimeter setting', () => {
    const perUnit: Record<string, number> = { KT: 1852 / 3600, MPS: 1 }
    const unlike = rawReports.filter((report, i) => {
      const theirs = parseMetar(report)
      const ours = decoded[i]
      const scale = perUnit[theirs.wind?.unit ?? 'KT']
      const speed = (theirs.wind?.speed ?? Number.NaN) * scale
      const pascals =
        (theirs.altimeter?.value ?? Number.NaN) * (theirs.altimeter?.unit === 'inHg' ? 3386.388640341 : 100)
      return !(
        same(speed, ours.windSpeedMps, 1e-9) &&
        same((theirs.wind?.gust ?? Number.NaN) * scale, ours.windGustMps, 1e-9) &&
        same(speed > 0 ? (theirs.wind?.degrees ?? Number.NaN) : Number.NaN, ours.windFromDeg, 0) &&
        // The library has only the body's whole degrees, and none at all where the dew point is missing ("18/").
        (/ \d\d\/ /.test(report) || same(theirs.temperature ?? Number.NaN, ours.temperatureK - 273.15, 0.6)) &&
        // Where a remark repeats the setting in inches, ours is the finer one: within the hectopascal that Q cuts off.
        same(pascals, ours.altimeterPa, / A\d{4}( |$)/.test(report) && / Q\d{4} /.test(report) ? 100 : 1e-6)
      )
    })
    expect(unlike).toEqual([])
  })
})

const same = (a: number, b: number, tolerance: number): boolean =>
  (Number.isNaN(a) && Number.isNaN(b)) || Math.abs(a - b) <= tolerance + 1e-9

describe('decodeMetar against the decoded columns of the Iowa Environmental Mesonet (VOHY, 414 rows)', () => {
  const [header, ...rows] = readFileSync(new URL('../../data/weather/iem-asos/measures.txt', import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => line !== '' && !line.startsWith('#'))
    .map((line) => line.split('\t'))
  const cell = (row: string[], name: string) => row[header.indexOf(name)]
  const number = (row: string[], name: string) => (cell(row, name) === 'M' ? Number.NaN : Number(cell(row, name)))

  // Not in the table, though the report says it: the clouds are written apart ("FEW 020") on the morning of 1 April.
  const CLOUDS_APART = / (FEW|SCT) 020 /
  // The table takes a wind without its unit for m/s (5 m/s = 9.72 kt); ours leaves the speed out.
  const NO_UNIT = / 22005 /

  // Tolerance: half of the last digit that the table prints.
  it.each<[string, number, RegExp | null, (row: string[]) => number, (groups: MetarGroups) => number]>([
    ['wind speed, kt', 0.005, NO_UNIT, (row) => number(row, 'sknt'), (g) => (g.windSpeedMps * 3600) / 1852],
    ['gust, kt', 0.005, null, (row) => number(row, 'gust'), (g) => (g.windGustMps * 3600) / 1852],
    [
      'direction',
      0,
      NO_UNIT,
      (row) => (number(row, 'sknt') === 0 ? Number.NaN : number(row, 'drct')),
      (g) => g.windFromDeg,
    ],
    ['temperature, °F', 0.005, CLOUDS_APART, (row) => number(row, 'tmpf'), (g) => (g.temperatureK - 273.15) * 1.8 + 32],
    ['dew point, °F', 0.005, CLOUDS_APART, (row) => number(row, 'dwpf'), (g) => (g.dewPointK - 273.15) * 1.8 + 32],
    [
      'altimeter setting, inHg',
      0.005,
      CLOUDS_APART,
      (row) => number(row, 'alti'),
      (g) => g.altimeterPa / 3386.388640341,
    ],
  ])('%s', (_, tolerance, apart, theirs, ours) => {
    expect(rows).toHaveLength(414)
    const unlike = rows.filter((row) => !same(theirs(row), ours(decodeMetar(cell(row, 'metar'))!), tolerance))
    const reports = unlike.map((row) => cell(row, 'metar'))
    expect(reports.filter((report) => !apart?.test(report))).toEqual([])
    expect(reports.length).toBe(apart === null ? 0 : rows.filter((row) => apart.test(cell(row, 'metar'))).length)
  })

  it('present weather', () => {
    const unlike = rows.filter((row) => {
      const theirs = cell(row, 'wxcodes') === 'M' ? '' : cell(row, 'wxcodes')
      return theirs !== decodeMetar(cell(row, 'metar'))!.presentWeather
    })
    // The table has nothing for one report of haze and drizzle.
    expect(unlike.map((row) => decodeMetar(cell(row, 'metar'))!.presentWeather)).toEqual(['HZ/DZ'])
  })
})
