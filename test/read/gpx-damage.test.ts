import { SaxesParser } from 'saxes'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { decodeText } from '../../src/read/bytes.ts'
import { readGpx } from '../../src/read/gpx/read.ts'
import { drive, gpx, gzipped, pointText } from '../hostile/make.ts'

const POINTS = drive(240)
const SOUND = gpx(POINTS)
/** Right behind the 100th point, at the end of the 100th line. */
const AT = SOUND.indexOf('\n', SOUND.indexOf(pointText(POINTS[99])))

afterEach(() => vi.restoreAllMocks())

describe('a block of control characters', () => {
  // A megabyte took 6 s: the parser made an Error, with its stack, of each byte.
  it.each(['\0', '\x01', '\x1f', '\uffff'])('costs no Error for each: %j', (sign) => {
    const made = vi.spyOn(SaxesParser.prototype, 'makeError')
    const { value, problems } = readGpx(SOUND.slice(0, AT) + sign.repeat(100_000) + SOUND.slice(AT))
    expect(made).not.toHaveBeenCalled()
    expect(value?.tracks[0].time).toHaveLength(240)
    const code = sign.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')
    expect(problems).toMatchObject([{ code: 'xml-fault-passed-over', severity: 'warning', line: 100 }])
    expect(problems[0].message).toContain(`disallowed character U+${code}) and 99999 more`)
  })

  it.each([
    ['plain', (text: string) => new TextEncoder().encode(text)],
    ['packed', gzipped],
  ])('at the end of what a logger wrote, %s: all before it is kept', (_, pack) => {
    const text = SOUND.slice(0, AT) + '\0'.repeat(500_000)
    const { value, problems } = readGpx(decodeText(pack(text)).value!.text)
    expect(value?.tracks[0].time).toHaveLength(100)
    expect(problems.map(({ code, line }) => [code, line])).toEqual([
      ['xml-fault-passed-over', 100],
      ['xml-not-well-formed', 100],
    ])
  })

  it.each([
    ['a.csv', 'time,temperature_c\n2024-05-03T08:30Z,14\n'],
    ['a.txt', 'EHAM 030825Z 20008KT 14/09 Q1012=\n\n'],
    ['runs.csv', 'track,setup\na.gpx,one\n'],
    ['a.kml', '<kml><Document>\n\n</Document></kml>'],
  ])('is told with its line in %s', (path, text) => {
    const block = `${text.split('\n').slice(0, 2).join('\n')}\n${'\0'.repeat(5000)}${text.split('\n').slice(2).join('\n')}`
    const { kind, problems } = mapFile({ path, bytes: new TextEncoder().encode(block), sha256: '' })
    expect(kind).not.toBe('unrecognised')
    expect(problems).toContainEqual(expect.objectContaining({ code: 'control-characters', line: 3 }))
  })

  // Loggers that set space aside leave files of zeros of many megabytes; one of them ended the whole report.
  it('of many megabytes is told with its length', () => {
    const text = `time,temperature_c\n2024-05-03T08:30Z,14\n${'\0'.repeat(12_000_000)}`
    const { problems } = mapFile({ path: 'a.csv', bytes: new TextEncoder().encode(text), sha256: '' })
    const told = problems.find(({ code }) => code === 'control-characters')
    expect(told).toMatchObject({ severity: 'warning', line: 3 })
    expect(told?.message).toContain('a block of 12000000 control characters')
  })

  it('is not seen in the signs around a weather bulletin', () => {
    // WMO No. 386, Manual on the Global Telecommunication System: SOH CR CR LF before, CR CR LF ETX behind.
    const bytes = new TextEncoder().encode(
      '\x01\r\r\nSANL31 EHDB 030825\r\r\nMETAR EHAM 030825Z 20008KT 14/09 Q1012=\r\r\n\x03',
    )
    expect(mapFile({ path: 'a.txt', bytes, sha256: '' }).problems).toEqual([])
  })
})
