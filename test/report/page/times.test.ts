import { describe, expect, it } from 'vitest'
import { clock, clockName, offsetAt, onLocalClock, withMoments } from '../../../src/report/page/times.ts'

// Offsets of the IANA time zone database: India is 5 h 30 min ahead of UTC all year; Spain one hour, and two from
// 2026-03-29 01:00 UTC on.
describe('times of a page', () => {
  it('stand on the clock of a zone, which is named, also over the change to summer time and midnight', () => {
    const page = `${clock('2026-03-29T00:59:00Z').markup} ${clock('2026-03-29T01:00:00Z').markup} ${clockName().markup}`
    const textIn = (zone: string | null): string => onLocalClock(page, zone).replace(/<[^>]*>/g, '')
    expect(textIn('Europe/Madrid')).toBe('2026-03-29 01:59 2026-03-29 03:00 Europe/Madrid')
    expect(textIn('Asia/Kolkata')).toBe('2026-03-29 06:29 2026-03-29 06:30 Asia/Kolkata')
    expect(textIn(null)).toBe('2026-03-29 00:59 2026-03-29 01:00 UTC')
    expect(offsetAt(Date.parse('2026-03-29T01:00:00Z') / 1000, 'Europe/Madrid')).toBe(7200)
    expect(offsetAt(Date.parse('2026-03-29T00:59:59Z') / 1000, 'Europe/Madrid')).toBe(3600)
    expect(offsetAt(0, null)).toBe(0)
  })

  it('in texts of problems are found where they say that they are UTC, and nothing else is', () => {
    const text =
      'taken at 2026-05-12T22:30:15.250Z, <during> none; 2026-05-12 22:31 UTC; "2026-05-12 09:00" in runs.csv'
    const shown = onLocalClock(withMoments(text).markup, 'Asia/Kolkata').replace(/<[^>]*>/g, '')
    expect(shown).toBe(
      'taken at 2026-05-13 04:00 Asia/Kolkata, &lt;during&gt; none; 2026-05-13 04:01 Asia/Kolkata; &quot;2026-05-12 09:00&quot; in runs.csv',
    )
    expect(withMoments('no time & nothing').markup).toBe('no time &amp; nothing')
  })
})
