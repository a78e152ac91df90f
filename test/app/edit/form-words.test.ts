import { describe, expect, it } from 'vitest'
import { inFormWords } from '../../../src/app/edit/form-words.ts'
import { changedSettings } from '../../../src/app/edit/settings.ts'
import { readCampaign } from '../../../src/read/campaign/campaign.ts'

const told = (yaml: string): string[] =>
  readCampaign(yaml).problems.map(({ message, hint }) => inFormWords(`${message} ${hint ?? ''}`))

describe('messages about settings', () => {
  it.each([
    ['vehicle: {mass_kg: heavy}', '“Mass with driver and load”: found the text "heavy"', 'mass_kg'],
    ['vehicle: {mass_kg_uncertainty: -1}', '“Mass with driver and load: standard deviation”', 'mass_kg'],
    ['vehicle: {frontal_area_m2: 2}', '“Frontal area” is given without “Drag coefficient”', 'drag_area_m2'],
    ['time_zone: Mars/Olympus', '“Time zone”: found "Mars/Olympus"', 'time_zone'],
    ['margin_pct: wide', '“Margin”: found', 'margin_pct'],
    ['setups: {bare: []}\nbaseline: bear', '“Baseline”: found "bear"', 'baseline:'],
    ['fuel: {fill_repeatability_l: much}', '“Standard deviation of one fill to the same level”', 'fuel.'],
  ])('%s is told under the name of its field', (yaml, words, key) => {
    const text = told(yaml).join('\n')
    expect(text).toContain(words)
    expect(text).not.toContain(key)
  })

  it('are so where the form refuses what was typed', () => {
    expect(changedSettings('', ['vehicle', 'mass_kg'], 'heavy').refusal).toMatch(/^“Mass with driver and load”: found/)
  })

  it('leave what the file says as it is', () => {
    expect(inFormWords('found the text "time_zone"')).toBe('found the text "time_zone"')
    expect(inFormWords('the title of the baseline run')).toBe('the title of the baseline run')
  })

  it('frontal area and drag coefficient can be typed one after the other', () => {
    const { text } = changedSettings('', ['vehicle', 'frontal_area_m2'], 2.1)
    expect(text).toContain('frontal_area_m2: 2.1')
    const both = changedSettings(text ?? '', ['vehicle', 'drag_coefficient'], 0.3)
    expect(readCampaign(both.text ?? '').problems).toEqual([])
  })
})
