import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { kindOf } from '../../../src/read/kind.ts'
import { readHourlyCsv } from '../../../src/read/weather/hourly-csv.ts'
import { readIsd } from '../../../src/read/weather/isd/isd.ts'
import { readIsdLite } from '../../../src/read/weather/isd/isd-lite.ts'
import { decodeMetar } from '../../../src/read/weather/metar/metar-groups.ts'
import { automaticWeather, mannedWeather, reportedWeather } from '../../../src/read/weather/metar/present-weather.ts'

const textOf = (station: string) =>
  readFileSync(new URL(`../../data/weather/isd-fixed-width/${station}.txt`, import.meta.url), 'utf8')
const linesOf = (station: string) =>
  textOf(station)
    .split('\n')
    .filter((line) => line !== '')

/** The METAR as sent, without the sender's initials and the section of original values. */
const metarOf = (line: string) =>
  /(?:METAR|SPECI) .*/
    .exec(line.slice(105))?.[0]
    .replace(/EQD[A-Z]\d\d.*/, '')
    .replace(/=.*| \([A-Z]{2,3}\).*/, '')
    .replace(/\s+/g, ' ')
    .trim()

const records = ['725300', '726430'].flatMap((station) =>
  linesOf(station)
    .filter((line) => /^FM-1[56]/.test(line.slice(41)) && metarOf(line))
    .map((line) => ({ line, coded: readIsd(line).value, metar: decodeMetar(metarOf(line)!)! })),
)
// One record's METAR says nothing but "AUTO RMK AO2 SLPNO", and two are cut off after the wind.
const pairs = records.flatMap(({ line, coded, metar }) =>
  coded && !/ RVRNO RMK$/.test(metarOf(line)!) ? [{ line, coded, metar }] : [],
)

const alike = (a: number, b: number, tolerance: number) =>
  (Number.isNaN(a) && Number.isNaN(b)) || Math.abs(a - b) <= tolerance + 1e-9

describe('ISD coded values against the METAR in the same record', () => {
  it('covers the hourly and special reports of both stations', () => {
    const hourly = ['725300', '726430'].flatMap(linesOf).filter((line) => line.slice(41, 46) === 'FM-15')
    expect(pairs.filter(({ line }) => line.slice(41, 46) === 'FM-15')).toHaveLength(hourly.length - 1)
    expect(records.length - pairs.length).toBe(3)
  })

  type Pair = (typeof pairs)[number]
  // The archive turns knots into tenths of m/s by 0.515 instead of 0.51444 and rounds (24 kt: 12.4, not 12.3): for the
  // 45 kt at most of these records, 0.025 + 0.05. Altimeter settings are rounded to tenths of hPa.
  it.each<[string, number, (pair: Pair) => [number, number]]>([
    ['wind speed', 0.075, ({ coded, metar }) => [coded.windSpeedMps[0], metar.windSpeedMps]],
    ['gust', 0.075, ({ coded, metar }) => [coded.windGustMps[0], metar.windGustMps]],
    ['direction', 0, ({ coded, metar }) => [coded.windFromDeg[0], metar.windFromDeg]],
    ['variable', 0, ({ coded, metar }) => [coded.windVariable[0], Number(metar.windVariable)]],
    ['temperature', 1e-6, ({ coded, metar }) => [coded.temperatureK[0], metar.temperatureK]],
    ['step of temperature', 0, ({ coded, metar }) => [coded.temperatureStepK[0], metar.temperatureStepK]],
    ['dew point', 1e-6, ({ coded, metar }) => [coded.dewPointK[0], metar.dewPointK]],
    ['altimeter setting', 5, ({ coded, metar }) => [coded.altimeterPa[0], metar.altimeterPa]],
  ])('%s', (_, tolerance, values) => {
    const unlike = pairs.filter((pair) => !alike(...values(pair), tolerance))
    expect(unlike.map(({ line }) => [line.slice(60, 105), metarOf(line)])).toEqual([])
  })

  it('sea-level pressure, but for what the archive marks as suspect', () => {
    const unlike = pairs.filter(
      ({ coded, metar }) => !alike(coded.seaLevelPressurePa[0], metar.seaLevelPressurePa, 1e-6),
    )
    expect(unlike.map(({ line, coded }) => [line[104], coded.seaLevelPressurePa[0]])).toEqual(
      unlike.map(() => ['6', Number.NaN]),
    )
    expect(unlike.length).toBeLessThan(5)
  })

  it('present weather from the groups AU, without the METAR', () => {
    const withGroups = pairs.filter(({ line }) => /AU1\d{7}/.test(line))
    expect(withGroups.length).toBeGreaterThan(100)
    const unlike = withGroups.filter(({ line, metar }) => {
      const bare = readIsd(line.slice(0, line.indexOf('REM', 105))).value!
      return bare.presentWeather[0] !== metar.presentWeather
    })
    expect(unlike.map(({ line }) => metarOf(line))).toEqual([])
  })

  it('station pressure is that of the altimeter setting at the station, in the standard atmosphere', () => {
    // ISO 2533: h = 44330.77 m · (1 − (p/1013.25)^0.190263); the archive prints tenths of hPa, ASOS reduces to its
    // own barometer elevation, so two metres of agreement with the 205 m stated is what can be asked.
    const height = (pascals: number) => 44330.77 * (1 - (pascals / 101325) ** 0.190263)
    const withBoth = pairs.filter(({ coded }) => !Number.isNaN(coded.stationPressurePa[0] + coded.altimeterPa[0]))
    expect(withBoth.length).toBeGreaterThan(300)
    for (const { coded } of withBoth) {
      const elevation = height(coded.stationPressurePa[0]) - height(coded.altimeterPa[0])
      expect(Math.abs(elevation - coded.stations[0].elevationM)).toBeLessThan(5)
    }
  })
})

/** No wind, temperature or pressure: the daily and monthly summaries, and three records of 725300. */
const isEmpty = (line: string) => line.slice(65, 69) + line.slice(87, 92) + line.slice(99, 104) === '9999+999999999'

describe('readIsd on whole files', () => {
  it.each([
    ['725300', '725300-94846', 41.995, -87.934, 205],
    ['726430', '726430-14920', 43.879, -91.253, 200],
  ])('%s', (station, id, latitude, longitude, elevationM) => {
    const { value } = readIsd(textOf(station))
    expect(value?.stations).toMatchObject([{ id, latitude, longitude, elevationM, onRoad: false }])
    expect(value!.count).toBe(linesOf(station).filter((line) => !isEmpty(line)).length)
    expect([...value!.time]).toEqual([...value!.time].sort((a, b) => a - b))
  })

  it('says what it left out', () => {
    const { problems } = readIsd(textOf('725300'))
    expect(problems.map(({ code, severity }) => [code, severity])).toEqual([
      ['isd-empty', 'note'],
      ['isd-quality', 'warning'],
      ['station-moves', 'warning'],
    ])
  })

  it('reads a whole record', () => {
    // 0203726430149202015010100537+43879-091253FM-15+0200KLSE V0302605N0046… METAR KLSE 010053Z 26009G21KT … T10831156
    const { value } = readIsd(linesOf('726430')[0])
    expect(new Date(value!.time[0] * 1000).toISOString()).toBe('2015-01-01T00:53:00.000Z')
    expect(value!.windSpeedMps[0]).toBeCloseTo(4.6, 12)
    expect(value!.windGustMps[0]).toBeCloseTo(10.8, 12)
    expect(value!.temperatureK[0]).toBeCloseTo(264.85, 9)
    expect(value!.stationPressurePa[0]).toBeCloseTo(99640, 6)
    expect(value!.precipitationMm[0]).toBe(0)
  })

  const good = linesOf('726430')[0]
  const changed = (from: number, to: string) => good.slice(0, from) + to + good.slice(from + to.length)

  it.each([
    ['wind speed', changed(69, '3'), 'windSpeedMps'],
    ['temperature', changed(92, '7'), 'temperatureK'],
    ['dew point', changed(98, '2'), 'dewPointK'],
    ['sea-level pressure', changed(104, '6'), 'seaLevelPressurePa'],
  ] as const)('drops a %s of bad quality and says so', (_, line, column) => {
    const { value, problems } = readIsd(line)
    expect(value![column][0]).toBeNaN()
    expect(problems.map(({ code }) => code)).toEqual(['isd-quality'])
  })

  it.each([
    ['wind speed', changed(65, '9999'), 'windSpeedMps'],
    ['temperature', changed(87, '+9999'), 'temperatureK'],
    ['direction', changed(60, '999'), 'windFromDeg'],
  ] as const)('reads all nines of %s as missing', (_, line, column) => {
    const { value, problems } = readIsd(line)
    expect(value![column][0]).toBeNaN()
    expect(problems).toEqual([])
  })

  it.each([
    ['a short line', good.slice(0, 90)],
    ['an impossible day', changed(21, '32')],
    ['words', 'no weather here'],
  ])('reports %s with its line and goes on', (_, bad) => {
    const { value, problems } = readIsd(`${good}\n${bad}\n`)
    expect(value?.count).toBe(1)
    expect(problems.map(({ code, line }) => [code, line])).toEqual([['isd-line-unreadable', 2]])
  })

  it('fails on nothing', () => {
    expect(readIsd('').problems).toMatchObject([{ code: 'isd-none', severity: 'error' }])
  })
})

describe('present weather codes', () => {
  // WMO-No. 306, code tables 4677 and 4680, from memory.
  it.each([
    ['61', '-RA', '-RA'],
    ['65', '+RA', 'FZRA'],
    ['71', '-SN', '-SN'],
    ['10', 'BR', 'BR'],
    ['95', 'TSRA', '+TSRA'],
    ['00', '', ''],
  ])('%s is %s manned and %s automatic', (code, manned, automatic) => {
    expect([mannedWeather(code), automaticWeather(code)]).toEqual([manned, automatic])
  })

  it('joins the parts of one group', () => {
    expect(
      reportedWeather([
        ['1', '0', '02', '0', '0', '2', '5'],
        ['2', '0', '03', '0', '0', '3', '5'],
      ]),
    ).toBe('-RASN')
  })
})

describe('readHourlyCsv', () => {
  // The same record as the first of 726430.txt, with its coded parts separated as the CSV form does.
  const CSV = [
    '"STATION","DATE","SOURCE","LATITUDE","LONGITUDE","ELEVATION","NAME","REPORT_TYPE","WND","TMP","DEW","SLP","AA1","MA1","OC1","REM"',
    '"72643014920","2015-01-01T00:53:00","7","43.879","-91.253","200.0","LA CROSSE, WI US","FM-15","260,5,N,0046,5","-0083,5","-0156,5","10227,5","01,0000,9,5","10203,5,09964,5","0108,5","MET10012/31/14 18:53:03 METAR KLSE 010053Z 26009G21KT 10SM CLR M08/M16 A3013 RMK AO2 SLP227 T10831156 (DG)"',
  ].join('\n')

  it('reads what the fixed-width form of the same record gives', () => {
    const { value, problems } = readHourlyCsv(CSV)
    expect(problems).toEqual([])
    expect(value).toEqual(readIsd(linesOf('726430')[0]).value)
  })

  it('reads missing, calm, variable and bad values', () => {
    // Line 2: the fields of a row of station 00702699999 in the same archive.
    const { value, problems } = readHourlyCsv(
      [
        'STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,WND,TMP,DEW,SLP',
        'A,2020-01-01T00:00:00,0.0,0.0,7026.0,"999,9,V,0005,1","+0020,1","+9999,9","99999,9"',
        'A,2020-01-01T01:00:00,0.0,0.0,7026.0,"999,9,C,0000,1","+0020,3","+0010,1","10132,1"',
      ].join('\n'),
    )
    expect([...value!.windVariable]).toEqual([1, 0])
    expect([...value!.windSpeedMps]).toEqual([0.5, 0])
    expect([...value!.windFromDeg]).toEqual([Number.NaN, Number.NaN])
    expect(value!.temperatureK[0]).toBeCloseTo(275.15, 9)
    expect(value!.temperatureK[1]).toBeNaN()
    expect([...value!.seaLevelPressurePa]).toEqual([Number.NaN, 101320])
    expect(problems.map(({ code }) => code)).toEqual(['isd-quality'])
  })

  it.each([
    ['no column of dates', 'STATION,WND\nA,"999,9,C,0000,1"', 'hourly-columns-missing'],
    ['no observation', 'STATION,DATE,WND\nA,2020-01-01T00:00:00,"999,9,9,9999,9"', 'isd-none'],
    ['nothing', '', 'table-empty'],
  ])('fails on %s', (_, text, code) => {
    expect(readHourlyCsv(text).value).toBeNull()
    expect(readHourlyCsv(text).problems.at(-1)).toMatchObject({ code, severity: 'error' })
  })

  it('reports a time that is none with its line', () => {
    const { value, problems } = readHourlyCsv(`${CSV}\nA,tomorrow,,,,,,,"260,5,N,0046,5",,,,,,,`)
    expect(value?.count).toBe(1)
    expect(problems.map(({ code, line }) => [code, line])).toEqual([['weather-time-unreadable', 3]])
  })
})

describe('readIsdLite', () => {
  // Written after the format document, from memory: no file of the archive was at hand.
  const LINES = [
    '2015 01 01 00   -83  -156 10227   260    46     0     0 -9999',
    '2015 01 01 01   -89 -9999 -9999     0     0 -9999    -1 -9999',
  ].join('\n')

  it('reads tenths and missing values, and the station from the name of the file', () => {
    const { value, problems } = readIsdLite(LINES, { fileName: 'weather/726430-14920-2015' })
    expect(problems).toEqual([])
    expect(value?.stations).toMatchObject([{ id: '726430-14920', latitude: Number.NaN, onRoad: false }])
    expect([...value!.time]).toEqual([Date.UTC(2015, 0, 1) / 1000, Date.UTC(2015, 0, 1, 1) / 1000])
    expect(value!.temperatureK[0]).toBeCloseTo(264.85, 9)
    expect(value!.dewPointK[0]).toBeCloseTo(257.55, 9)
    expect(value!.dewPointK[1]).toBeNaN()
    expect([...value!.seaLevelPressurePa]).toEqual([102270, Number.NaN])
    expect([...value!.windSpeedMps]).toEqual([4.6, 0])
    expect([...value!.windFromDeg]).toEqual([260, Number.NaN])
    expect([...value!.precipitationMm]).toEqual([0, 0])
  })

  it.each([
    ['too few numbers', '2015 01 01 02   -83'],
    ['an impossible day', '2015 02 30 00   -83  -156 10227   260    46     0     0 -9999'],
  ])('reports a line with %s', (_, bad) => {
    const { value, problems } = readIsdLite(`${LINES}\n${bad}`, { fileName: 'x' })
    expect(value?.count).toBe(2)
    expect(problems.map(({ code, line }) => [code, line])).toEqual([['isd-line-unreadable', 3]])
  })

  it('fails on nothing', () => {
    expect(readIsdLite('', { fileName: 'x' }).problems).toMatchObject([{ code: 'isd-none', severity: 'error' }])
  })
})

describe('the first years of the archive', () => {
  // NOAA ISD, station 029070-99999, 1 January 1901 (the archive begins with that year): 06:00 UTC, -7.8 °C, 270°, 15.9 m/s
  // marked 1; 13:00 UTC, -7.2 °C, 8.2 m/s. From memory.
  const RECORDS = `0029029070999991901010106004+64333+023450FM-12+000599999V0202701N015919999999N0000001N9-00781+99999102001ADDGF108991999999999999999999
0029029070999991901010113004+64333+023450FM-12+000599999V0202901N008219999999N0000001N9-00721+99999102001ADDGF104991999999999999999999
`
  it('are read as later ones are', () => {
    expect(kindOf(RECORDS)).toBe('isd')
    const { value, problems } = readIsd(RECORDS)
    expect(problems).toEqual([])
    expect([...value!.time]).toEqual([Date.UTC(1901, 0, 1, 6) / 1000, Date.UTC(1901, 0, 1, 13) / 1000])
    expect(value!.temperatureK[0]).toBeCloseTo(265.35, 9)
    expect([...value!.windSpeedMps]).toEqual([15.9, 8.2])
  })

  it('in ISD-Lite and the hourly table too', () => {
    const lite = '1901 01 01 06   -78 -9999 10200   270   159 -9999 -9999 -9999\n'
    expect(kindOf(lite)).toBe('isd-lite')
    expect(readIsdLite(lite, { fileName: '029070-99999-1901' }).value?.time[0]).toBe(Date.UTC(1901, 0, 1, 6) / 1000)
    const csv = '"STATION","DATE","WND","TMP"\n"02907099999","1901-01-01T06:00:00","270,1,N,0159,1","-0078,1"\n'
    expect(readHourlyCsv(csv).value?.time[0]).toBe(Date.UTC(1901, 0, 1, 6) / 1000)
  })
})
