import { describe, expect, it } from 'vitest'
import { readPicture } from '../../../src/read/picture/picture.ts'
import { jpeg, png, type Said } from './pictures.ts'

const SAID: Said = {
  clock: '2026:05:03 10:20:30',
  offset: '+02:00',
  orientation: 6,
  place: [48, 7, 30, 'N', 11, 30, 0, 'W'],
  gps: ['2026:05:03', 8, 20, 29],
}

/** Worked out by hand from what was written: 48° 7′ 30″ is 48.125°. */
const READ = {
  clockTime: '2026-05-03T10:20:30',
  offset: '+02:00',
  orientation: 6,
  latitude: 48.125,
  longitude: -11.5,
  gpsTime: Date.UTC(2026, 4, 3, 8, 20, 29) / 1000,
}

describe('a picture', () => {
  it('tells time, place, orientation and size, as JPEG and as PNG', () => {
    expect(readPicture(jpeg(64, 48, SAID))).toEqual({ ...READ, form: 'JPEG', widthPx: 64, heightPx: 48 })
    expect(readPicture(png(64, 48, SAID))).toEqual({ ...READ, form: 'PNG', widthPx: 64, heightPx: 48 })
  })

  it('without a set clock or place says null', () => {
    const none = readPicture(jpeg(8, 8, { clock: '0000:00:00 00:00:00' }))
    expect(none).toMatchObject({ clockTime: null, offset: null, latitude: null, longitude: null, gpsTime: null })
    expect(readPicture(jpeg(8, 8, { place: [99, 0, 0, 'N', 11, 0, 0, 'E'] })).latitude).toBeNull()
  })

  it('cut short or damaged anywhere is read as far as it goes, and never throws', () => {
    for (const whole of [jpeg(16, 16, SAID), png(16, 16, SAID)]) {
      const head = whole.subarray(0, 500)
      for (let end = 2; end < head.length; end++) {
        expect(readPicture(head.subarray(0, end)).form).toBe(readPicture(whole).form)
      }
      for (let at = 9; at < head.length; at++) {
        for (const byte of [0, 1, 0x7f, 0x80, 0xff]) {
          const damaged = Buffer.from(whole)
          damaged[at] = byte
          const { latitude, longitude, orientation } = readPicture(damaged)
          expect(Math.abs(latitude ?? 0)).toBeLessThanOrEqual(90)
          expect(Math.abs(longitude ?? 0)).toBeLessThanOrEqual(180)
          expect([1, 2, 3, 4, 5, 6, 7, 8]).toContain(orientation)
        }
      }
    }
  })
})
