import { describe, expect, it } from 'vitest'
import { workingStateOf } from '../../src/campaign/computed-campaign.ts'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { experienceOf } from '../../src/plan/experience.ts'
import { DEFAULTS, reportOf } from '../campaign/folder.ts'
import { stints } from '../campaign/measured-stints.ts'

const { draws, seed } = DEFAULTS

describe('what a folder of stints with one fill each teaches', () => {
  const files = stints('track,setup,fuel_l\na.gpx@0700.1-3,bare,0.9\nb.gpx@0900.1-3,rack,1\nc.gpx@1100.1-3,bare,0.92\n')

  it('is the stint as the drive: its length, its fuel and how the two of one setup repeat', async () => {
    const state = await workingStateOf(files.map(mapFile), files, { draws, seed })
    const { lengthM, per100Km, lessons, repeatability } = experienceOf(state)
    const { stints: told } = await reportOf(files)
    const lengths = told.map(({ distance_m }) => distance_m)
    expect(told).toHaveLength(3)
    expect(lengthM).toBe([...lengths].sort((a, b) => a - b)[1])
    expect(lengthM / state.roads.routes[0].lengthM).toBeGreaterThan(2.9)
    const litres = [0.9, 1, 0.92].map((fuel, i) => (1e5 * fuel) / lengths[i])
    expect(per100Km).toBeCloseTo(litres.reduce((a, b) => a + b) / 3, 3)
    expect(lessons[0]).toMatchObject({ about: 'road', drives: 3 })
    expect(lessons.some(({ about }) => about === 'usual-repeatability')).toBe(false)
    expect(repeatability).not.toBeNull()
  })
})
