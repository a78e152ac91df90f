import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { checkJson, checkXml, checkZip } from '../../src/fetch/get/answer-kinds.ts'
import { iem } from '../../src/fetch/services/iem.ts'
import { extentBox, iemPages, iemStations } from '../../src/fetch/services/iem-lists.ts'
import type { Ask } from '../../src/fetch/types.ts'

const DATA = join(import.meta.dirname, '../data')
const recorded = (name: string): Uint8Array => new Uint8Array(readFileSync(join(DATA, name)))
const bytes = (text: string): Uint8Array => new TextEncoder().encode(text)
const ROWS = { purpose: 'observations' } as Ask

describe('answers with status 200 are told apart', () => {
  const whole = recorded('weather/iem-asos/measures.txt')
  it.each([
    ['a recorded answer', whole, 'whole', null],
    ['a recorded answer without results', recorded('fetch/iem-asos-no-results.tsv'), 'nothing', 'a header and no rows'],
    ['an empty body', bytes(''), 'broken', 'empty'],
    ['blanks', bytes(' \n\n'), 'broken', 'blanks'],
    ['a web page', bytes('<!DOCTYPE html><title>Log in</title>'), 'wrong', 'web page'],
    ['an error', bytes('ERROR: server over capacity, please try later'), 'broken', 'server over capacity'],
    ['another table', bytes('a,b\n1,2\n'), 'wrong', 'no header that is known'],
    ['a body cut in a row', whole.subarray(0, 30_000), 'broken', 'cut off'],
  ] as const)('%s', (_, body, state, why) => {
    const verdict = iem.check(ROWS, body)
    expect(verdict.state).toBe(state)
    if (why !== null) expect(verdict).toHaveProperty('why', expect.stringContaining(why))
  })

  it('a body cut anywhere is never taken for whole, but where a row ends', () => {
    for (let length = 1; length < whole.length; length += 977) {
      const { state } = iem.check(ROWS, whole.subarray(0, length))
      if (state === 'whole') expect(whole[length - 1]).toBe(10)
    }
  })

  it('JSON, XML and zip files that were cut off', () => {
    const rows = (value: unknown): number => (value as unknown[]).length
    expect(checkJson(bytes('[{"a":1}]'), rows).state).toBe('whole')
    expect(checkJson(bytes('[]'), rows).state).toBe('nothing')
    expect(checkJson(bytes('[{"a":1}'), rows).state).toBe('broken')
    expect(checkJson(bytes('{"error":true,"reason":"Minutely API request limit exceeded."}'), rows)).toMatchObject({
      state: 'wrong',
      why: expect.stringContaining('Minutely'),
    })
    const count = (text: string): number => text.split('<m>').length - 1
    expect(checkXml(bytes('<?xml version="1.0"?><c:a x="1"><m>1</m></c:a>\n'), count).state).toBe('whole')
    expect(checkXml(bytes('<c:a x="1"><m>1</m>'), count).state).toBe('broken')
    expect(checkXml(bytes('<ExceptionReport></ExceptionReport>'), count).state).toBe('wrong')
    // The empty archive of PKWARE's APPNOTE: an end record alone.
    const end = Uint8Array.from([0x50, 0x4b, 5, 6, ...Array(18).fill(0)])
    expect(checkZip(end).state).toBe('whole')
    expect(checkZip(Uint8Array.from([0x50, 0x4b, 3, 4, ...Array(40).fill(0)])).state).toBe('broken')
    expect(checkZip(bytes('not a zip file at all, but text')).state).toBe('wrong')
  })
})

describe('lists of the Mesonet, as recorded', () => {
  const networks = new TextDecoder().decode(recorded('fetch/iem-api1-networks-3.json'))
  const stations = new TextDecoder().decode(recorded('fetch/iem-api1-network-IN__ASOS.json'))

  it('the extent of a network is read from its well-known binary', () => {
    // The German network's polygon in the recorded list, its corners decoded with Python's struct.unpack('<dd').
    const extent = (JSON.parse(networks) as { data: { id: string; extent: string }[] }).data.find(
      ({ id }) => id === 'DE__ASOS',
    )?.extent
    expect(extentBox(extent ?? '')).toEqual({
      southDeg: 47.57132,
      westDeg: 5.93227,
      northDeg: 55.01325,
      eastDeg: 14.25235,
    })
  })

  it('only networks that reach the roads are read', () => {
    const near = (latitude: number, longitude: number): string[] =>
      iemPages(
        { cells: [{ latitude, longitude }], span: { fromS: 0, toS: 1 } },
        0,
        new Map([['iem_networks.json', networks]]),
      ).map(({ url }) => url.slice(url.lastIndexOf('/') + 1))
    expect(near(52.1, 10.1)).toEqual(['networks.json', 'DE__ASOS.json'])
    expect(near(42.1, -93.4)).toEqual(['networks.json', 'IA_ASOS.json'])
    expect(near(-40, 170)).toEqual(['networks.json'])
  })

  it('stations come with place, height and the time of their archive', () => {
    const read = iemStations(new Map([['iem_network_IN__ASOS.json', stations]]), [])
    expect(read).toHaveLength(3)
    expect(read[0]).toMatchObject({ id: 'VEAT', latitude: 23.88698, longitude: 91.24045, elevationM: 16 })
    expect(new Date(1000 * read[0].since).toISOString()).toBe('1945-01-10T00:00:00.000Z')
    expect(read[0].until).toBe(Number.POSITIVE_INFINITY)
  })
})
