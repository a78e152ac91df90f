import { describe, expect, it } from 'vitest'
import { namedBy } from '../../../src/campaign/load/names.ts'
import { pieceInName, pieceNames } from '../../../src/campaign/load/recordings/piece-names.ts'
import { yesOrNo } from '../../../src/read/table/yes-or-no.ts'
import type { Piece } from '../../../src/road/division/pieces.ts'

// What docs/files.md promises for the column `track`.
describe('the track that a name in runs.csv means', () => {
  const tracks = ['a/Day 1.gpx', 'b/Day 1.gpx', 'tracks/2026-04-14-a.gpx', 'log.gpx#2', 'log.gpx'].map((track) => ({
    track,
  }))
  it.each([
    ['the path as it is written', 'a/Day 1.gpx', ['a/Day 1.gpx']],
    ['in any case, with the other slash', '.\\A\\DAY 1.GPX', ['a/Day 1.gpx']],
    ['the file name alone', '2026-04-14-a.gpx', ['tracks/2026-04-14-a.gpx']],
    ['without its ending', '2026-04-14-a', ['tracks/2026-04-14-a.gpx']],
    ['blanks for hyphens', '2026 04 14 a', ['tracks/2026-04-14-a.gpx']],
    ['one of several tracks of a file', 'log#2', ['log.gpx#2']],
    ['two that it may be', 'day-1', ['a/Day 1.gpx', 'b/Day 1.gpx']],
    ['none', 'day-2', []],
    ['nothing but hyphens', '--', []],
  ])('%s', (_, name, want) => {
    expect(namedBy(name, tracks).map(({ track }) => track)).toEqual(want)
  })
})

describe('a piece in a name', () => {
  it.each([
    ['day.gpx@0914', 'day.gpx', { time: '0914', firstLap: null, lastLap: null }],
    ['day.gpx@9:14', 'day.gpx', { time: '0914', firstLap: null, lastLap: null }],
    ['day.gpx@091430.2', 'day.gpx', { time: '091430', firstLap: 2, lastLap: 2 }],
    ['day.gpx@1102.1-6', 'day.gpx', { time: '1102', firstLap: 1, lastLap: 6 }],
    ['day.gpx@2026-04-14T23:50', 'day.gpx', { time: '20260414T2350', firstLap: null, lastLap: null }],
    ['me@home.gpx@0914', 'me@home.gpx', { time: '0914', firstLap: null, lastLap: null }],
  ])('%s', (name, recording, piece) => {
    expect(pieceInName(name)).toEqual({ recording, piece })
  })

  it.each(['day.gpx', 'me@home.gpx', 'day.gpx@', 'day.gpx@9'])('none in %s', (name) => {
    expect(pieceInName(name)).toBeNull()
  })
})

describe('names of drives', () => {
  const at = (iso: string): number => Date.parse(iso) / 1000
  const drive = (iso: string, more: Partial<Piece> = {}): Piece => ({
    kind: 'drive',
    fromTime: at(iso),
    toTime: at(iso) + 600,
    distanceM: 10_000,
    stintTime: null,
    lap: null,
    ...more,
  })
  const day = { startTime: at('2026-04-14T06:00:00Z'), endTime: at('2026-04-14T20:00:00Z') }

  it('are the clock time of their begin: UTC, or local where a zone is named', () => {
    const pieces = [drive('2026-04-14T07:14:20Z')]
    expect(pieceNames(pieces, day, null)).toEqual(['0714'])
    // Central European Summer Time, UTC+2, from the last Sunday of March on (Directive 2000/84/EC).
    expect(pieceNames(pieces, day, 'Europe/Vienna')).toEqual(['0914'])
  })

  it('have seconds where two begin in one minute, and the date where the recording passes midnight', () => {
    const two = [drive('2026-04-14T07:14:05Z'), drive('2026-04-14T07:14:50Z'), drive('2026-04-14T08:00:00Z')]
    expect(pieceNames(two, day, null)).toEqual(['071405', '071450', '0800'])
    const night = { startTime: at('2026-04-14T22:00:00Z'), endTime: at('2026-04-15T02:00:00Z') }
    expect(pieceNames([drive('2026-04-15T00:30:00Z')], night, null)).toEqual(['20260415T0030'])
  })

  it('number the laps of a stint', () => {
    const stintTime = at('2026-04-14T11:02:00Z')
    const laps = [1, 2].map((lap) => drive('2026-04-14T11:02:00Z', { stintTime, lap, fromTime: stintTime + lap * 60 }))
    expect(pieceNames(laps, day, null)).toEqual(['1102.1', '1102.2'])
  })
})

it.each([
  ['Yes', true],
  ['1', true],
  [' no ', false],
  ['FALSE', false],
  ['perhaps', null],
  [null, null],
] as const)('%s answers %s', (cell, want) => {
  expect(yesOrNo(cell)).toBe(want)
})
