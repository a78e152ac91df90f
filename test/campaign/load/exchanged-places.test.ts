import { expect, it } from 'vitest'
import { parse } from 'yaml'
import { exchangedSetting } from '../../../src/campaign/load/exchanged-places.ts'
import { readCampaign } from '../../../src/read/campaign/campaign.ts'

// Held against the package `yaml` (YAML 1.2).
it.each([
  'd2.gpx',
  'day 1/van.gpx',
  'logs.zip#d2.gpx',
  '2026-05-12.gpx',
  'bare, then bars [2].gpx',
  "Tom's #3: wet.gpx",
])('the line offered for %s names that file', (path) => {
  const line = exchangedSetting(path)
  expect(parse(line)).toEqual({ exchanged_positions: [path] })
  expect(readCampaign(`title: x\n${line}\n`).value?.exchangedPositions.names).toEqual([path])
})
