import { describe, expect, it } from 'vitest'
import { slugsOf } from '../../src/pipeline/runs.ts'

describe('run ids', () => {
  it.each([
    [['tracks/Montag früh.gpx'], ['montag-fruh']],
    [
      ['a.gpx', 'b/a.gpx'],
      ['a', 'b-a'],
    ],
    [
      ['a.gpx#1', 'a.gpx#2'],
      ['a-1', 'a-2'],
    ],
    [
      ['a.gpx.gz', 'a.kml'],
      ['a', 'a-2'],
    ],
    [['🚗.gpx'], ['run']],
    [['../x.gpx'], ['x']],
    [['走行 1.gpx'], ['走行-1']],
  ])('%j become %j', (tracks, ids) => {
    expect(slugsOf(tracks)).toEqual(ids)
  })
})
