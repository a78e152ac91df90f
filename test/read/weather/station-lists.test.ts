import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { seriesOf } from '../../../src/air/series.ts'
import { mapParts } from '../../../src/campaign/load/map-parts.ts'
import { kindOf } from '../../../src/read/kind.ts'
import { isWeatherKind, readWeather } from '../../../src/read/weather/read.ts'
import { readStationList } from '../../../src/read/weather/stations/station-lists.ts'
import { readStationListJson } from '../../../src/read/weather/stations/station-lists-json.ts'
import { loadStations } from '../../../src/read/weather/stations/stations.ts'
import { inputFile, reportOf } from '../../campaign/folder.ts'
import { straightTrack } from '../../cli/command.ts'

const bytesOf = (name: string) =>
  new Uint8Array(readFileSync(new URL(`../../data/weather/services/${name}`, import.meta.url)))
const textOf = (name: string) => new TextDecoder('windows-1252').decode(bytesOf(name))
const codes = (problems: { code: string }[]) => problems.map(({ code }) => code)

async function filesOf(...names: string[]) {
  const parts = (
    await Promise.all(names.map((name) => mapParts({ path: name, bytes: bytesOf(name), sha256: name })))
  ).flat()
  return parts.flatMap(({ path, kind, text }) => {
    if (!isWeatherKind(kind)) return []
    const read = readWeather(kind, text!, { timeZone: null, fileName: path, coverFrom: null, coverTo: null })
    return read.value ? [{ file: path, observations: read.value }] : []
  })
}

describe('a list of stations that somebody wrote', () => {
  it('may have a title, names in other words, heights in feet, the anemometer and remarks', () => {
    const text =
      'Where the masts are;;;;;\nSite;Latitude;Longitude;Elevation (ft);Anemometer height (ft);Owner\nsilo;41,8985;-4,8507;2430;30;Ana\n'
    expect(kindOf(text)).toBe('station-list')
    const [place] = readStationList(text).value?.places ?? []
    expect(place).toMatchObject({ id: 'silo', latitude: 41.8985, longitude: -4.8507 })
    // An international foot is 0.3048 m.
    expect(place.elevationM).toBeCloseTo(740.664, 6)
    expect(place.anemometerHeightM).toBeCloseTo(9.144, 6)
  })

  it('gives a station of another file its place, its height and that of its anemometer', () => {
    const context = { timeZone: null, fileName: 'w.csv', coverFrom: null, coverTo: null }
    const weather = readWeather('observation-table', 'time,station,temperature_c\n2026-04-14T07:00Z,silo,9\n', context)
    const list = readStationList('station,lat,lon,elevation_m,anemometer_height_m\nsilo,41.8985,-4.8507,741,8\n')
    const files = [weather, list].map(({ value }, i) => ({ file: `${i}.csv`, observations: value! }))
    const { series } = seriesOf(files, [], { find: () => null })
    expect(series.map(({ station }) => station)).toMatchObject([
      { latitude: 41.8985, longitude: -4.8507, elevationM: 741, anemometerHeightM: 8 },
    ])
  })
})

describe('lists of stations', () => {
  it('give the stations of other files their place: the German service’s metadata, in the same archive', async () => {
    const { series, problems } = seriesOf(await filesOf('dwd-stundenwerte_FF_akt.zip'), [], { find: () => null })
    expect(problems).toEqual([])
    // "4911;  350.50; 48.8275; 12.5597;20101117;        ;Straubing"
    expect(series[0].station).toMatchObject({ id: '4911', latitude: 48.8275, longitude: 12.5597, elevationM: 350.5 })
  })

  it('of a station that moved give the place of those days', () => {
    const list = readStationList(textOf('dwd-Metadaten_Geographie_01766.txt')).value!
    const at = (day: string) => {
      const context = { timeZone: null, fileName: 'x', coverFrom: null, coverTo: null }
      const table = `STATIONS_ID;MESS_DATUM;QN_3;   F;   D;eor\n       1766;${day}12;   10;   1.6;  80;eor\n`
      const observations = readWeather('observation-table', table, context).value!
      const files = [
        { file: 'list', observations: list },
        { file: 'wind', observations },
      ]
      return seriesOf(files, [], { find: () => null }).series[0].station
    }
    // The rows of Münster/Osnabrück: 1982 to 1989, to 2009, to 2017, and since.
    expect(at('19890930')).toMatchObject({ latitude: 52.1328, elevationM: 48 })
    expect(at('19891001')).toMatchObject({ latitude: 52.1345, elevationM: 48.4 })
    expect(at('20091013')).toMatchObject({ latitude: 52.1345, elevationM: 48.4 })
    expect(at('20200101')).toMatchObject({ latitude: 52.1344, elevationM: 47.8 })
  })

  it('of MeteoSwiss and of GHCNh', async () => {
    const swiss = seriesOf(await filesOf('synthetic-meteoswiss.csv', 'synthetic-meteoswiss-stations.csv'), [], {
      find: () => null,
    })
    expect(swiss.series[0].station).toMatchObject({ id: 'MeteoSwiss BER', latitude: 46.990744, elevationM: 553 })
    const { places } = readStationList(textOf('ghcnh-station-list-excerpt.csv')).value!
    // "GMI0000EDDF,50.0264,8.5431,110.9,,FRANKFURT MAIN,,,,"
    expect(places).toContainEqual({
      id: 'GMI0000EDDF',
      latitude: 50.0264,
      longitude: 8.5431,
      elevationM: 110.9,
      from: Number.NaN,
      to: Number.NaN,
    })
  })

  it('as JSON: SMHI by number and name, Environment Canada with the height that its tables lack', async () => {
    // The forms are those of the services (from memory); no real list was at hand but that of the Mesonet.
    const smhi =
      '{"key":"4","title":"Vindhastighet","station":[{"name":"Lund","id":53430,"height":26.6,"latitude":55.693,"longitude":13.229}]}'
    expect(readStationListJson(smhi).value!.places!.map(({ id }) => id)).toEqual(['53430', 'Lund'])
    const canada =
      '{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[-79.63,43.68]},"properties":{"STN_ID":51459,"STATION_NAME":"TORONTO INTL A","ELEVATION":"173.4"}}]}'
    const list = { file: 'list', observations: readStationListJson(canada).value! }
    const files = [list, ...(await filesOf('synthetic-environment-canada-hourly.json'))]
    const { series, problems } = seriesOf(files, [], { find: () => null })
    expect(series[0].station).toMatchObject({ latitude: 43.68, elevationM: 173.4 })
    expect(problems).toEqual([])
    const mesonet = new TextDecoder().decode(
      readFileSync(new URL('../../data/fetch/iem-api1-network-IN__ASOS.json', import.meta.url)),
    )
    expect(kindOf(mesonet)).toBe('station-list-json')
    const [first] = readStationListJson(mesonet).value!.places!
    expect(first).toMatchObject({ id: expect.stringMatching(/^V[A-Z]{3}$/) })
    const table = (await loadStations()).find(first.id)
    if (table) expect(Math.abs(table.latitude - first.latitude)).toBeLessThan(0.05)
  })

  it('in the fixed columns of the German service’s list of all stations', () => {
    // The lines have the form of the service's files (from memory).
    const text = `Stations_id von_datum bis_datum Stationshoehe geoBreite geoLaenge Stationsname Bundesland Abgabe
----------- --------- --------- ------------- --------- --------- ---------------------------------------- ---------- ------
00433 19480101 20240601             48     52.4676   13.4020 Berlin-Tempelhof                         Berlin                                   Frei\n`
    expect(readStationList(text).value!.places).toMatchObject([
      { id: '00433', latitude: 52.4676, longitude: 13.402, elevationM: 48 },
    ])
  })

  it('made by hand, and told where a row is none', () => {
    const { value, problems } = readStationList('station,lat,lon,elevation_m\nMast,52.1,5.2,3\nOther,152.1,5.2,\n')
    expect(value!.places).toMatchObject([{ id: 'Mast', latitude: 52.1, longitude: 5.2, elevationM: 3 }])
    expect(codes(problems)).toEqual(['weather-cell-unreadable'])
    expect(codes(readStationList('station,lat,lon\nMast,,\n').problems)).toContain('station-list-empty')
  })

  it('reach the report: a folder with tracks, a DWD archive and nothing else', async () => {
    const track = straightTrack('2018-09-15T01:10:00Z').replaceAll(
      /lat="([\d.]+)" lon="([\d.]+)"/g,
      (_, lat, lon) => `lat="${(Number(lat) - 52 + 48.85).toFixed(6)}" lon="${(Number(lon) - 5 + 12.6).toFixed(6)}"`,
    )
    const zip = bytesOf('dwd-stundenwerte_FF_akt.zip')
    const air =
      'time,station,lat,lon,temperature_c\n2018-09-15T01:00Z,A,48.85,12.6,14\n2018-09-15T02:00Z,A,48.85,12.6,14\n'
    const report = await reportOf(
      [inputFile('a.gpx', track), inputFile('weather/wind.zip', zip), inputFile('air.csv', air)],
      { draws: 50 },
    )
    expect(report.inputs.map(({ path, kind }) => [path, kind])).toContainEqual([
      'weather/wind.zip#produkt_ff_stunde_20180915_20200317_04911.txt',
      'weather',
    ])
    expect(report.problems.filter(({ severity }) => severity === 'error')).toEqual([])
    expect(report.runs[0].air.stations.map(({ id }) => id)).toContain('4911')
    expect(report.runs[0].wind.speed_mps).toBeGreaterThan(0.5)
  })
})
