import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { type ObservationFile, seriesOf } from '../../src/air/series.ts'
import { stationIdentity } from '../../src/air/station-identity.ts'
import { readCampaign } from '../../src/read/campaign/campaign.ts'
import { readObservationTable } from '../../src/read/weather/csv.ts'
import { readGhcnh } from '../../src/read/weather/isd/ghcnh.ts'
import { readIsd } from '../../src/read/weather/isd/isd.ts'
import { readMetarText } from '../../src/read/weather/metar/metar.ts'
import { loadStations } from '../../src/read/weather/stations/stations.ts'

const { find } = await loadStations()
const weather = (name: string) => readFileSync(new URL(`../data/weather/${name}`, import.meta.url), 'utf8')
/** La Crosse, January 2015: each record carries the METAR as it was sent. */
const ISD = weather('isd-fixed-width/726430.txt')

/** The METARs that ISD records carry, as a text with dates in front. */
function metarsIn(isd: string): string {
  return isd
    .split('\n')
    .flatMap((line) => {
      const metar = /(?:METAR|SPECI) (?:COR )?(K[A-Z]{3} \d{6}Z [^=]*)/.exec(line)
      return metar ? [`${line.slice(15, 19)}-${line.slice(19, 21)}-${line.slice(21, 23)} ${metar[1]}`] : []
    })
    .join('\n')
}

describe('one station under several names', () => {
  it.each([
    ['CVG', 'KCVG', 'three characters, as the Iowa Environmental Mesonet writes US stations'],
    ['GMI0000EDDF', 'EDDF', 'NOAA NCEI, ghcnh-station-list.csv'],
    ['USW00014933', '725460-14933', 'NOAA NCEI, ghcnh-station-list.csv: Des Moines, WBAN 14933'],
    ['GMM00010637', '106370-99999', 'GHCNh documentation, network M: WMO number; ISD: USAF = WMO and a 0'],
  ])('%s is %s', (a, b) => {
    expect(stationIdentity(a)).toBe(stationIdentity(b))
  })

  it('leaves other names alone', () => {
    expect(stationIdentity('Mast 3')).toBe('MAST 3')
    expect(new Set(['00433', '4911', 'EDDF', '0-756-0-BER'].map(stationIdentity)).size).toBe(4)
  })
})

describe('one report that came through two services', () => {
  const isd: ObservationFile = { file: 'isd.txt', observations: readIsd(ISD).value! }
  const metars: ObservationFile = {
    file: 'metar.txt',
    observations: readMetarText(metarsIn(ISD), { coverFrom: null, coverTo: null }).value!,
  }

  it('is one observation, and one station', () => {
    const { series, problems } = seriesOf([isd, metars], [], { find })
    expect(series).toHaveLength(1)
    expect(problems.map(({ code }) => code)).toEqual(['station-twice'])
    const minutes = new Set([...isd.observations.time, ...metars.observations.time])
    expect(series[0].time).toHaveLength(minutes.size)
    expect(metars.observations.count).toBeGreaterThan(100)
  })

  it('says the same wind and temperature to the last decimal that both carry', () => {
    const at = new Map([...isd.observations.time].map((time, i) => [time, i]))
    let compared = 0
    for (let i = 0; i < metars.observations.count; i++) {
      const other = at.get(metars.observations.time[i])
      if (other === undefined) continue
      const [one, two] = [metars.observations, isd.observations]
      // ISD has tenths of a metre a second and of a degree; a METAR without a T group has whole degrees.
      const step = one.temperatureStepK[i]
      if (Number.isNaN(one.windSpeedMps[i] + two.windSpeedMps[other] + one.temperatureK[i])) continue
      compared++
      // A METAR has whole knots; the archive's tenths of m/s (by a factor of 0.515) tell them apart.
      const knots = (mps: number) => Math.round(mps / (1852 / 3600))
      expect(knots(two.windSpeedMps[other])).toBe(knots(one.windSpeedMps[i]))
      expect(Math.abs(one.temperatureK[i] - two.temperatureK[other])).toBeLessThanOrEqual(step === 1 ? 0.501 : 0.001)
    }
    expect(compared).toBeGreaterThan(100)
  })

  it('is one through GHCNh too, whose rows carry the METAR in their remarks', () => {
    const psv = weather('services/ghcnh-GHCNh_USW00013967_por-excerpt.psv')
    const texts = psv.split('\n').flatMap((line) => {
      const [, , year, month, day] = line.split('|')
      const metar = /(?:METAR|SPECI) K[A-Z]{3} \d{6}Z [^|]*/.exec(line)
      return metar ? [`${year}-${month}-${day} ${metar[0]}`] : []
    })
    // The third row has a temperature that the archive marks as wrong: there is nothing to compare.
    expect(texts).toHaveLength(4)
    const one = readMetarText(texts.slice(0, 2).concat(texts.slice(3)).join('\n'), { coverFrom: null, coverTo: null })
      .value!
    const two = readGhcnh(psv).value!
    const { series } = seriesOf(
      [
        { file: 'a', observations: one },
        { file: 'b', observations: two },
      ],
      [],
      { find },
    )
    expect(series.map(({ station, time }) => [station.id, time.length])).toEqual([['KOKC', 4]])
    let compared = 0
    for (let i = 0; i < one.count; i++) {
      const at = two.time.indexOf(one.time[i])
      compared++
      const knots = (mps: number) => Math.round(mps / (1852 / 3600))
      expect(knots(two.windSpeedMps[at])).toBe(knots(one.windSpeedMps[i]))
      expect(two.windFromDeg[at]).toBe(one.windFromDeg[i])
      expect(two.temperatureK[at]).toBeCloseTo(one.temperatureK[i], 6)
      expect(two.dewPointK[at]).toBeCloseTo(one.dewPointK[i], 6)
    }
    expect(compared).toBe(3)
  })

  it('two stations side by side that say different things stay two', () => {
    const table = (file: string, lat: number, celsius: number): ObservationFile => ({
      file,
      observations: readObservationTable(
        `time,station,lat,lon,elevation_m,temperature_c,wind_speed_mps,wind_from_deg\n2024-05-03T08:00Z,${file},${lat},5,3,${celsius},4,200\n`,
        { timeZone: null, fileName: file },
      ).value!,
    })
    expect(seriesOf([table('a', 52, 14), table('b', 52.01, 15)], [], { find }).series).toHaveLength(2)
    expect(seriesOf([table('a', 52, 14), table('b', 52.01, 14.3)], [], { find }).series).toHaveLength(1)
    expect(seriesOf([table('a', 52, 14), table('b', 52.1, 14)], [], { find }).series).toHaveLength(2)
  })
})

describe('a name of three characters', () => {
  it('is told where the table made it a US station, and is the user’s own where it has a place', () => {
    const table = (head: string, place: string): ObservationFile => ({
      file: 'a',
      observations: readObservationTable(`time,station,temperature_c${head}\n2024-05-03T08:00Z,CVG,14${place}\n`, {
        timeZone: null,
        fileName: 'a',
      }).value!,
    })
    const { series, problems } = seriesOf([table('', '')], [], { find })
    expect(series[0].station.latitude).toBeCloseTo(39.05, 1)
    expect(problems.map(({ code }) => code)).toEqual(['station-short-code'])
    const own = seriesOf([table(',lat,lon,elevation_m', ',52,5,3')], [], { find })
    expect([own.series[0].station.latitude, own.problems]).toEqual([52, []])
  })
})

describe('a name in small letters that is also a code', () => {
  const named = (name: string) =>
    seriesOf(
      [
        {
          file: 'a',
          observations: readObservationTable(`time,station,temperature_c\n2024-05-03T08:00Z,${name},14\n`, {
            timeZone: null,
            fileName: 'a',
          }).value!,
        },
      ],
      [],
      { find },
    ).problems.map(({ code, severity, message }) => [code, severity, message])
  it('is placed by the table with a warning that says where', () => {
    expect(named('eddf')).toEqual([
      [
        'station-code-guessed',
        'warning',
        // Frankfurt am Main, AIP Germany: 50 02 00 N, 008 34 14 E (from memory).
        expect.stringMatching(/^taken for codes .* in small letters: eddf as EDDF \(50\.0\d, 8\.5\d\)$/),
      ],
    ])
  })
  it('needs no word in capitals', () => expect(named('EDDF')).toEqual([]))
})

describe('stations without a place', () => {
  it('are named together, once, with what to write', () => {
    const file = (name: string, code: string): ObservationFile => ({
      file: name,
      observations: readMetarText(`2024-05-03 ${code} 030800Z 18005KT 14/09 Q1013`, { coverFrom: null, coverTo: null })
        .value!,
    })
    const { series, problems } = seriesOf([file('a.txt', 'ZZZZ'), file('b.txt', 'QQQQ'), file('c.txt', 'EDDF')], [], {
      find,
    })
    expect(series.map(({ station }) => station.id)).toEqual(['EDDF'])
    expect(problems).toHaveLength(1)
    expect(problems[0].code).toBe('station-without-place')
    expect(problems[0].message).toContain('QQQQ, ZZZZ')
    expect(problems[0].hint).toContain('QQQQ: {lat: …, lon: …, elevation_m: …}')
  })
})

// A newcomer copies the line from the message, so campaign.yaml must take it as it stands.
it.each(['QQQQ', '72530:94846', '0123', 'Hill, north', 'NO', 'the "old" mast'])(
  'the line offered for the station %s is read by campaign.yaml once its figures are filled in',
  (code) => {
    const cell = `"${code.replaceAll('"', '""')}"`
    const text = `time,station,temperature_c,wind_speed_mps,wind_from_deg\n2024-05-03T08:00Z,${cell},14,5,180\n`
    const observations = readObservationTable(text, { timeZone: null, fileName: 'a' }).value!
    const { problems } = seriesOf([{ file: 'a.csv', observations }], [], { find: () => null })
    const hint = problems.find((problem) => problem.code === 'station-without-place')?.hint ?? ''
    const line = hint.slice(hint.indexOf('road: ') + 6)
    const filled = line.replace('…', '47.5').replace('…', '8.25').replace('…', '410')
    const campaign = readCampaign(`stations:\n  ${filled}\n`)
    expect(campaign.problems).toEqual([])
    expect(campaign.value?.stations).toMatchObject([{ id: code, latitude: 47.5, longitude: 8.25, elevationM: 410 }])
  },
)
