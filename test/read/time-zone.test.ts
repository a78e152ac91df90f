import { describe, expect, test } from 'vitest'
import { readCampaign } from '../../src/read/campaign/campaign.ts'
import { momentReader } from '../../src/read/moments.ts'
import { zoneMeant, zoneOf } from '../../src/read/time-zone.ts'

const at = (text: string): number => Date.parse(text) / 1000

describe('zones as people write them', () => {
  test.each([
    // [written, local noon of 1 July in UTC by ISO 8601's own offset, of 1 January]
    ['UTC-8', '-08:00', '-08:00'],
    ['-08:00', '-08:00', '-08:00'],
    ['gmt +2', '+02:00', '+02:00'],
    ['+0530', '+05:30', '+05:30'],
    ['UTC-5 all year', '-05:00', '-05:00'],
    ['UTC', 'Z', 'Z'],
    // IANA time zone database: Vienna UTC+1 and +2, Toronto UTC-5 and -4, Kolkata UTC+5:30.
    ['Europe/Vienna', '+02:00', '+01:00'],
    ['America/Toronto standard time', '-05:00', '-05:00'],
    ['Europe/Vienna all year', '+01:00', '+01:00'],
    ['Asia/Kolkata', '+05:30', '+05:30'],
  ])('%s', (written, july, january) => {
    const read = momentReader(zoneOf(written) ?? '')
    for (const [day, offset] of [
      ['2026-07-01', july],
      ['2026-01-01', january],
    ]) {
      const { seconds } = read({ seconds: at(`${day}T12:00:00Z`), zoneless: true })
      expect(seconds).toBe(at(`${day}T12:00:00${offset}`))
    }
  })

  test.each([['Europe/Wien'], ['UTC-15'], ['+25:00'], ['somewhere'], ['']])('"%s" is none', (written) => {
    expect(zoneOf(written)).toBeNull()
  })

  test.each([
    ['Europe/Wien', 'Europe/Vienna'],
    ['Wien', 'Europe/Vienna'],
    ['Vienna', 'Europe/Vienna'],
    ['Europe/Zürich', 'Europe/Zurich'],
    ['America/San Francisco', 'America/Los_Angeles'],
    ['PT', 'America/Los_Angeles'],
    ['Europe/Viena', 'Europe/Vienna'],
    ['Europe/Berln', 'Europe/Berlin'],
  ])('%s may be %s', (written, zone) => {
    expect(zoneMeant(written)).toBe(zone)
  })

  test.each([
    ['time_zone: -8', 'UTC-8'],
    ['time_zone: +0530', 'UTC+5:30'],
    ['time_zone: -08:00', 'UTC-8'],
    ['time_zone: UTC-5 all year', 'UTC-5'],
    ['time_zone: Europe/Madrid', 'Europe/Madrid'],
  ])('%s', (line, zone) => {
    expect(readCampaign(`${line}\n`)).toMatchObject({ value: { timeZone: zone }, problems: [] })
  })

  test('a name that is none is an error with the one meant', () => {
    expect(readCampaign('time_zone: Europe/Wien\n').problems).toMatchObject([
      { code: 'campaign-time-zone', line: 1, hint: 'Did you mean Europe/Vienna?' },
    ])
  })
})
