import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readGpx } from '../../src/read/gpx/read.ts'
import { thinner } from '../../src/read/gpx/thin.ts'
import { drive, gpx, HEAD, pointText } from '../hostile/make.ts'

function thinned(text: string, every: number, pieceLength: number): string {
  const { take, rest } = thinner(every)
  let out = ''
  for (let at = 0; at < text.length; at += pieceLength) out += take(text.slice(at, at + pieceLength))
  return out + rest()
}

const timesOf = (text: string): number[] => readGpx(text).value!.tracks.flatMap(({ time }) => [...time])

/** Which of so many are kept: each so-many-th from the first on, and the last. */
const wanted = (count: number, every: number): number[] =>
  Array.from({ length: count }, (_, i) => i).filter((i) => i % every === 0 || i === count - 1)

describe('thinner', () => {
  it('keeps one point in so many of each segment, its first and its last, however the text is cut into pieces', () => {
    const lengths = fc.array(fc.integer({ min: 2, max: 30 }), { minLength: 1, maxLength: 4 })
    const check = (segments: number[], every: number, pieceLength: number): void => {
      const points = drive(segments.reduce((sum, n) => sum + n, 0))
      let at = 0
      const want: number[] = []
      const texts = segments.map((count) => {
        want.push(...wanted(count, every).map((i) => Date.parse(points[at + i].time) / 1000))
        at += count
        return points
          .slice(at - count, at)
          .map(pointText)
          .join('\r\n  ')
      })
      const text = `${HEAD}<trk><trkseg>${texts.join('\n</trkseg>\n<trkseg>')}</trkseg></trk></gpx>`
      expect(timesOf(thinned(text, every, pieceLength))).toEqual(want)
    }
    const cases = fc.property(lengths, fc.integer({ min: 2, max: 7 }), fc.integer({ min: 1, max: 400 }), check)
    fc.assert(cases, { numRuns: 300, seed: 5 })
  })

  it('keeps the numbers of lines', () => {
    const points = drive(100)
    const text = `${gpx(points).replace('</trkseg>', `\n${pointText({ ...points[9], lat: 'north' })}</trkseg>`)}`
    const line = (read: string) => readGpx(read).problems.find(({ code }) => code === 'position-unreadable')?.line
    expect(line(text)).toBe(101)
    expect(line(thinned(text, 7, 1000))).toBe(101)
  })

  it('passes on what is no plain point: comments, points without an end, other texts', () => {
    const odd = '<!-- <trkpt> --><trkpt lat="1" lon="2"/><x>\xe9</x><trkpt lat="1" lon="2"><!-- a --></trkpt>'
    const text = `${HEAD}<trk><name>a < b</name><trkseg>${odd}</trkseg></trk></gpx>`
    for (const pieceLength of [1, 7, 1000]) expect(thinned(text, 5, pieceLength)).toBe(text)
  })

  it('counts what it met and kept, and gives back all of a point that never ends', () => {
    const { take, rest, counts } = thinner(10)
    const open = `<trkpt lat="1" lon="2">${'x'.repeat(200_000)}`
    expect((take(gpx(drive(95))) + take(open) + rest()).endsWith(open)).toBe(true)
    expect(counts()).toEqual({ met: 95, kept: 11 })
  })
})
