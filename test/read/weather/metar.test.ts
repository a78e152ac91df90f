import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { readMetarText } from '../../../src/read/weather/metar/metar.ts'
import { momentNearDate, momentNearSpans } from '../../../src/read/weather/metar/metar-date.ts'

const at = (iso: string) => Date.parse(iso) / 1000
const NO_TRACKS = { coverFrom: null, coverTo: null }
const APRIL = { coverFrom: at('2021-04-26T08:00Z'), coverTo: at('2021-04-26T10:00Z') }
const REPORT = 'EDDF 261150Z 24008KT CAVOK 12/03 Q1021'

const times = (text: string, context: Parameters<typeof readMetarText>[1] = NO_TRACKS) =>
  [...(readMetarText(text, context).value?.time ?? [])].map((s) => new Date(s * 1000).toISOString().slice(0, 16))
const codes = (text: string, context: Parameters<typeof readMetarText>[1] = NO_TRACKS) =>
  readMetarText(text, context).problems.map(({ code, line }) => [code, line])

describe('the month of a report', () => {
  it.each([
    ['ISO date and time', `2021-04-26 12:00 ${REPORT}`],
    ['ISO with zone', `2021-04-26T12:00:00Z METAR ${REPORT}=`],
    ['digits', `202104261200 ${REPORT}`],
    ['slashes', `2021/04/26 12:00 ${REPORT}`],
    ['date alone', `2021-04-26 ${REPORT}`],
    ['on the line before', `2021/04/26 11:50\n${REPORT}`],
  ])('is taken from a date in front: %s', (_, text) => {
    expect(times(text)).toEqual(['2021-04-26T11:50'])
    expect(codes(text)).toEqual([])
  })

  it('is the month before, where the date in front is just past midnight of the first', () => {
    expect(times('2021-05-01 00:10 EDDF 302350Z 24008KT CAVOK 12/03 Q1021')).toEqual(['2021-04-30T23:50'])
  })

  it('is taken from the tracks, and said so', () => {
    expect(times(REPORT, APRIL)).toEqual(['2021-04-26T11:50'])
    expect(codes(REPORT, APRIL)).toEqual([['month-from-tracks', undefined]])
    expect(
      times('EDDF 302350Z 24008KT', { coverFrom: at('2021-05-01T01:00Z'), coverTo: at('2021-05-01T03:00Z') }),
    ).toEqual(['2021-04-30T23:50'])
  })

  it('skips months without that day', () => {
    const march = { coverFrom: at('2021-03-02T00:00Z'), coverTo: at('2021-03-02T02:00Z') }
    expect(times('EDDF 312350Z 24008KT', march)).toEqual(['2021-03-31T23:50'])
  })

  it.each([
    ['no tracks', REPORT, NO_TRACKS, 'metar-month-unknown'],
    [
      'two months fit',
      REPORT,
      { coverFrom: at('2021-03-01T00:00Z'), coverTo: at('2021-05-30T00:00Z') },
      'metar-month-ambiguous',
    ],
    ['the date in front contradicts', `2021-04-10 12:00 ${REPORT}`, NO_TRACKS, 'metar-date-contradicts'],
  ])('is not guessed when %s', (_, text, context, code) => {
    const { value, problems } = readMetarText(text, context)
    expect(value).toBeNull()
    expect(problems.map((p) => [p.code, p.line])).toEqual([
      [code, 1],
      ['metar-none', undefined],
    ])
  })

  it('is told apart by the drives where only one of them is near', () => {
    const coverSpans = [
      { from: at('2021-04-02T08:00Z'), to: at('2021-04-02T10:00Z') },
      { from: at('2021-05-26T08:00Z'), to: at('2021-05-26T10:00Z') },
    ]
    expect(times(REPORT, { coverFrom: coverSpans[0].from, coverTo: coverSpans[1].to, coverSpans })).toEqual([
      '2021-05-26T11:50',
    ])
  })

  it('is NaN where there is nothing to go by', () => {
    expect(momentNearSpans({ day: 3, hour: 0, minute: 0 }, [])).toBeNaN()
    expect(momentNearDate({ day: 3, hour: 0, minute: 0 }, at('2021-04-20T00:00Z'))).toBeNaN()
  })
})

const bulletin = (name: string) =>
  readFileSync(new URL(`../../data/weather/metar-bulletins/${name}`, import.meta.url), 'latin1')

describe('bulletins', () => {
  // Reports counted by reading the files.
  it.each<[string, number, string[]]>([
    ['badchars.txt', 3, ['month-from-tracks']],
    // 11 whole reports; five stand in for an earlier one of the same station and minute. Three are broken on purpose:
    // one without content, one with a letter O for a zero, one whose station begins with a digit.
    [
      'collective.txt',
      7,
      ['metar-line-unreadable', 'metar-line-unreadable', 'metar-empty', 'metar-repeated', 'month-from-tracks'],
    ],
    ['collective2.txt', 35, ['month-from-tracks']],
    ['first.txt', 2, ['month-from-tracks']],
    ['kawn.txt', 3, ['month-from-tracks']],
    ['kmwn.txt', 1, ['month-from-tracks']],
    ['nullbyte.txt', 1, ['month-from-tracks']],
    ['rtd_bbb.txt', 1, ['month-from-tracks']],
  ])('%s holds %d reports', (name, count, expected) => {
    const { value, problems } = readMetarText(bulletin(name), APRIL)
    expect(value?.count).toBe(count)
    expect(problems.map(({ code }) => code).sort()).toEqual([...expected].sort())
  })

  it('refuses a bulletin of another code form', () => {
    const { value, problems } = readMetarText(bulletin('sa.txt'), APRIL)
    expect(value).toBeNull()
    expect(problems.at(-1)).toMatchObject({ code: 'metar-none', severity: 'error' })
  })

  it('joins folded lines: the remark of the second line belongs to the report', () => {
    const { value } = readMetarText(bulletin('first.txt'), APRIL)
    const alo = value!.stations.findIndex(({ id }) => id === 'KALO')
    const row = [...value!.station].indexOf(alo)
    // KALO 010001Z AUTO 17027G37KT … RMK AO2 / PK WND … SLP088 … T01890156
    expect(value!.temperatureK[row]).toBeCloseTo(273.15 + 18.9, 9)
    expect(value!.seaLevelPressurePa[row]).toBeCloseTo(100880, 6)
    expect(value!.windGustMps[row]).toBeCloseTo((37 * 1852) / 3600, 9)
  })

  it('reads a report behind a forecast', () => {
    const forecast = 'TAF EDDK 261100Z 2612/2718 24010KT=\n'
    expect(readMetarText(`${REPORT}\n${forecast}EDDK 261150Z 22005KT 11/02 Q1020`, APRIL).value?.count).toBe(2)
  })

  it('reads several reports on one line', () => {
    expect(readMetarText(`METAR ${REPORT}= METAR EDDK 261150Z 22005KT 11/02 Q1020=`, APRIL).value?.count).toBe(2)
  })
})

describe('what is wrong is said with its line', () => {
  it.each<[string, string, [string, number | undefined][]]>([
    ['five digits for the time', `${REPORT}\nEDDK 26115Z 22005KT`, [['metar-unreadable', 2]]],
    ['another code form', `${REPORT}\nAAXX 26121 10513 41598\n`, [['metar-unreadable', 2]]],
    ['no observation', `${REPORT}\nEDDK 261150Z NIL`, [['metar-nil', 2]]],
    ['an empty report', `${REPORT}\nEDDK 261150Z`, [['metar-empty', 2]]],
    ['words', `${REPORT}\n\nHello world, this is not weather.`, [['metar-line-unreadable', 3]]],
    ['words right under a report', `${REPORT}\nand then it rained`, [['metar-line-unreadable', 2]]],
    ['words in capitals', `${REPORT}\nNOTES OF THE DRIVER`, [['metar-line-unreadable', 2]]],
    [
      'a forecast (WMO 306, FM 51) under a report, folded',
      `${REPORT}\nTAF EDDF 261100Z 2612/2718 24010KT 9999 BKN030\n  TEMPO 2614/2618 26018G30KT\n  BECMG 2619/2621 28005KT`,
      [['metar-forecast', 2]],
    ],
    ['a forecast without its name', `${REPORT}\nEDDF 261100Z 2612/2718 24010KT`, [['metar-forecast', 2]]],
    ['an altimeter setting that cannot be', 'EDDF 261150Z 24008KT 12/03 Q0102', [['weather-implausible', 1]]],
    ['a dew point above the temperature', 'EDDF 261150Z 24008KT 03/12 Q1021', [['weather-implausible', 1]]],
    ['a wind above the range', 'EDDF 261150Z 240P49MPS 12/03 Q1021', [['metar-wind-above-range', 1]]],
    [
      'a wind that is none (WMO 306, FM 15: three figures, two or three, a unit)',
      'EDDF 261150Z 24OO8KT 12/03 Q1021',
      [['metar-wind-unreadable', 1]],
    ],
    ['a wind not observed (WMO 306, FM 15: solidi)', 'EDDF 261150Z /////KT 12/03 Q1021', []],
    ['a correction', `${REPORT}\nMETAR COR EDDF 261150Z 24009KT 12/03 Q1021`, [['metar-repeated', undefined]]],
  ])('%s', (_, text, want) => {
    const { value, problems } = readMetarText(text, APRIL)
    expect(value?.count).toBe(1)
    expect(problems.filter(({ code }) => code !== 'month-from-tracks').map(({ code, line }) => [code, line])).toEqual(
      want,
    )
  })

  it('takes the correction, not what it corrects', () => {
    const { value } = readMetarText(`${REPORT}\nMETAR COR EDDF 261150Z 24009KT 12/03 Q1021`, APRIL)
    expect(value?.windSpeedMps[0]).toBeCloseTo((9 * 1852) / 3600, 9)
  })

  it('names what is left when a value is taken out', () => {
    const { value } = readMetarText('EDDF 261150Z 24008KT 12/03 Q0102', APRIL)
    expect(value?.altimeterPa[0]).toBeNaN()
    expect(value?.temperatureK[0]).toBeCloseTo(285.15, 9)
  })
})

describe('all 1,100 raw reports as one file', () => {
  const text = readFileSync(new URL('../../data/weather/metar-raw/metars_mixed_airports.txt', import.meta.url), 'utf8')
  const lines = text.split('\n').filter((line) => line !== '')

  it('are read without a report lost', () => {
    const context = { coverFrom: at('2021-01-30T00:00Z'), coverTo: at('2021-01-31T00:00Z') }
    const { value, problems } = readMetarText(text, context)
    // Told apart by station and time, that is by the first twelve characters; two stations sent nothing but slashes or
    // their name.
    expect(value?.count).toBe(new Set(lines.map((line) => line.slice(0, 12))).size - 2)
    expect(value?.stations).toHaveLength(new Set(lines.map((line) => line.slice(0, 4))).size - 2)
    expect(problems.map(({ code, line }) => [code, line])).toEqual([
      ['metar-empty', 17],
      ['metar-empty', 1077],
      ['metar-repeated', undefined],
      ['month-from-tracks', undefined],
    ])
  })

  it('come in time order', () => {
    const { value } = readMetarText(text, APRIL)
    expect([...value!.time]).toEqual([...value!.time].sort((a, b) => a - b))
  })
})
