import { describe, expect, it } from 'vitest'
import { isElevationTile, isPicture, kindOf } from '../../src/read/kind.ts'
import { prologOf } from '../../src/read/prolog.ts'

const IEM = `#DEBUG: Format Typ    -> tdf
#DEBUG: Time Zone     -> UTC
station\tvalid\ttmpf\tdwpf\trelh\tdrct\tsknt\talti\tmetar
VOHY\t2014-03-01 00:40\t71.60\t64.40\t78.10\t0.00\t0.00\t29.97\tVOHY 010040Z 00000KT 3000 HZ 22/18 Q1015 NOSIG
`
const ISD_LINE =
  '0227725300948462014010100004+41983-087900FM-12+020599999V0209999C000019999999N001600199-01111-01441102661ADD'
const HOURLY = `"STATION","DATE","SOURCE","LATITUDE","LONGITUDE","ELEVATION","NAME","REPORT_TYPE","CALL_SIGN","WND","TMP"
"00702699999","2017-01-01T00:00:00","4","0.0","0.0","7026.0","WXPOD 7026","FM-15","99999","999,9,V,0005,1","+0020,1"
`
const BULLETIN = '\u0001\r\r\n776 \r\r\nSAUS70 KWBC 081400\r\r\nMETAR\r\r\nKSPS 081352Z 10015KT 10SM 25/16 A2967=\r\r\n'

describe('kindOf', () => {
  it.each([
    ['gpx', '<?xml version="1.0"?>\n<gpx version="1.1"/>'],
    ['gpx', '\ufeff  \n<!-- a > b -->\n<?style x?><g:gpx xmlns:g="http://www.topografix.com/GPX/1/1"/>'],
    ['gpx', `<!--${' '.repeat(100_000)}--><gpx/>`],
    ['gpx', '<!DOCTYPE gpx [<!ENTITY a "b">]><gpx>&a;</gpx>'],
    ['kml', '<?xml version="1.0"?><kml xmlns="http://www.opengis.net/kml/2.2"><Document/></kml>'],
    ['kml', '<kml:kml xmlns:kml="http://www.opengis.net/kml/2.2"/>'],
    ['html', '<!DOCTYPE html>\n<html><body>404: track.gpx not found</body></html>'],
    ['html', '<HTML>\n<gpx/>'],
    ['html', '<!doctype html><title>Log in</title>'],
    ['unrecognised', '<svg xmlns="http://www.w3.org/2000/svg"/>'],
    ['tcx', '<TrainingCenterDatabase/>'],
    ['unrecognised', '<gpx'.slice(0, 1)],
    ['unrecognised', ''],
    ['unrecognised', ' \n\t'],
    ['unrecognised', 'Bought new tyres today, drove home in the rain.'],
    ['isd', ISD_LINE],
    ['isd', `\n${ISD_LINE}REMMET10012/31/14 18:53:03 METAR KORD 010053Z 25005KT`],
    ['hourly-csv', HOURLY],
    ['observation-table', IEM],
    ['observation-table', 'time,temperature_c\n2024-05-31T12:00Z,20\n'],
    ['observation-table', '# my logger\n# second line\nTime;Relative Humidity pct\n2024-05-31T12:00Z;55,5\n'],
    ['observation-table', 'station,time,wind_speed,wind_from_deg\nA,2024-05-31T12:00Z,3,270\n'],
    ['observation-table', 'time,air_temperature,wind_from_direction\n'],
    ['observation-table', 'time\tmetar\n2014-03-01 00:40\tVOHY 010040Z 00000KT 3000 HZ 22/18 Q1015\n'],
    ['observation-table', 'time,temp_c,rh_pct,wind_ms\n2021-03-29T11:13:45Z,20,60,1.13\n'],
    // A log of positions is not weather.
    ['csv-log', 'time_utc,gps_lat,gps_long,speed_mph\n2019-05-23T12:00:00Z,41,-96,30\n'],
    ['unrecognised', 'temperature_c,wind_speed_mps\n20,3\n'],
    ['runs-table', 'track,setup,fuel_l\na.gpx,plain,12.5\n'],
    ['runs-table', '# fills\nSetup;Track;temperature_c;wind_from_deg\nplain;a.gpx#2;20,5;270\n'],
    ['campaign', 'title: Summer tyres\nvehicle:\n  class: car\n'],
    ['campaign', '# made in May\n---\nsetups:\n  plain: []\n'],
    ['campaign', '{\n  "vehicle": { "class": "van" }\n}'],
    ['campaign', 'margin_pct: 2'],
    // METAR text in a remark of the campaign.
    ['campaign', 'baseline: plain\n# METAR KSPS 081352Z 10015KT 10SM 25/16 A2967\n'],
    ['unrecognised', 'name: someone\nvehicles: 3\n'],
    ['metar', 'METAR KORD 010053Z 25005KT 10SM CLR M11/M14 A3032 RMK AO2'],
    ['metar', 'KBVY 292253Z 00000KT 10SM OVC037 04/M02 A3032'],
    ['metar', '2014-03-01 00:40 VOHY 010040Z 00000KT 3000 HZ 22/18 Q1015 NOSIG'],
    ['metar', '201403010040 METAR VOHY 010040Z AUTO 00000KT 3000 HZ 22/18 Q1015='],
    ['metar', '2014-03-01T00:40Z,VOHY 010040Z 00000KT 3000 HZ 22/18 Q1015'],
    ['metar', 'SPECI K1H2 231401Z AUTO 17004KT 5SM BR OVC010 16/13 A2994'],
    ['metar', BULLETIN],
    ['unrecognised', 'TAF KXYZ 081720Z 0818/0918 13006KT P6SM SCT250'],
  ])('%s: %j', (kind, text) => {
    expect(kindOf(text)).toBe(kind)
  })
})

describe('prologOf', () => {
  it.each([
    ['<gpx>', 'gpx', false],
    ['<?xml version="1.0"?><!-- <b> --><?p <c> ?><!DOCTYPE gpx SYSTEM "x"><x:gpx a="b">', 'x:gpx', true],
    ['<!DOCTYPE gpx [<!ENTITY a "]"> <!-- > -->]>\n<gpx>', 'gpx', true],
    ['<kml><![CDATA[<!DOCTYPE html>]]></kml>', 'kml', false],
    ['<!-- open', null, false],
    ['text', null, false],
  ])('%s', (text, root, hasDoctype) => {
    expect(prologOf(text)).toMatchObject({ root, hasDoctype })
  })
})

describe('isElevationTile', () => {
  const bytes = (length: number, ...magic: number[]) => {
    const all = new Uint8Array(length)
    all.set(magic)
    return all
  }

  // SRTM3 and SRTM1 tiles: 1201 and 3601 rows and columns of two bytes.
  it.each([
    ['an SRTM3 tile', bytes(2_884_802), 'elevation/N48E016.hgt', true],
    ['an SRTM1 tile', bytes(25_934_402), 's12w077.HGT', true],
    ['one byte too short', bytes(2_884_801), 'N48E016.hgt', false],
    ['that length without a corner in the name', bytes(2_884_802), 'track.gpx', false],
    ['a corner in the folder only', bytes(2_884_802), 'N48E016/track.gpx', false],
    ['TIFF, little-endian', bytes(100, 0x49, 0x49, 42, 0), 'x', true],
    ['TIFF, big-endian', bytes(100, 0x4d, 0x4d, 0, 42), 'x.dat', true],
    ['BigTIFF', bytes(100, 0x49, 0x49, 43, 0), 'x.tif', true],
    ['text named .tif', new TextEncoder().encode('II: the second'), 'x.tif', false],
    ['no bytes', new Uint8Array(0), 'N48E016.hgt', false],
  ])('%s', (_, content, name, want) => {
    expect(isElevationTile(content, name)).toBe(want)
  })
})

describe('a picture is told by its first bytes', () => {
  const starting = (...start: (number | string)[]): Uint8Array =>
    Uint8Array.from(
      [...start, ...new Array(40).fill(0)].flatMap((part) =>
        typeof part === 'string' ? [...part].map((sign) => sign.charCodeAt(0)) : [part],
      ),
    )

  // Signatures: ISO/IEC 10918-1 (JPEG), PNG specification §5.2, GIF89a, RFC 9649 (WebP), ISO/IEC 23008-12 (HEIF), all from memory.
  it.each([
    ['JPEG', starting(0xff, 0xd8, 0xff, 0xe1), true],
    ['PNG', starting(0x89, 'PNG\r\n', 0x1a, '\n'), true],
    ['GIF', starting('GIF89a'), true],
    ['WebP', starting('RIFF', 1, 2, 3, 4, 'WEBPVP8 '), true],
    ['HEIF', starting(0, 0, 0, 24, 'ftypheic'), true],
    ['a sound in the same container', starting('RIFF', 1, 2, 3, 4, 'WAVEfmt '), false],
    ['a film in the same container', starting(0, 0, 0, 24, 'ftypisom'), false],
    ['a GPX file', starting('<gpx version="1.1">'), false],
    ['nothing', new Uint8Array(0), false],
  ])('%s', (_, content, want) => {
    expect(isPicture(content)).toBe(want)
  })
})

describe('an ISD-Lite file', () => {
  it('is told by its rows of date, hour and eight whole numbers', () => {
    // Form of the row: NOAA, "Integrated Surface Data - Lite Format" (from memory); values invented.
    expect(kindOf('2026 04 14 06    72    45 10231    80    15     2 -9999 -9999\n')).toBe('isd-lite')
  })
})
