import { describe, expect, it } from 'vitest'
import { coverageOf, type PickedSlot, pickedSlots } from './simulated-forecast.ts'

/** CETERIS_WINDOWS sets another number of worlds, for a long look. */
const WORLDS = Number(process.env.CETERIS_WINDOWS ?? 36)
const SHAPES = ['loop', 'one-way', 'there-and-back'] as const

describe('the starts that a simulated forecast puts first', { timeout: 3_600_000 }, () => {
  it('have a true difference within their 90 % interval at the stated rate', async () => {
    const picked: PickedSlot[] = []
    for (let i = 0; i < WORLDS; i++) picked.push(...(await pickedSlots(`windows/${i}`, SHAPES[i % 3], 3)))
    expect(picked.length).toBe(3 * WORLDS)
    // As asked for: 85 to 97 %.
    expect(coverageOf(picked)).toBeGreaterThanOrEqual(0.85)
    expect(coverageOf(picked)).toBeLessThanOrEqual(0.97)
  })
})
