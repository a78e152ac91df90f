import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import { inFormWords } from '../../../src/app/edit/form-words.ts'
import { changedSettings, typedValue } from '../../../src/app/edit/settings.ts'
import { FIELD_GROUPS, MORE_GROUPS } from '../../../src/app/edit/settings-fields.ts'
import { type SettingValue, withSetting } from '../../../src/app/edit/yaml-text.ts'
import { firstCampaignYaml } from '../../../src/campaign/first-campaign.ts'
import { readCampaign } from '../../../src/read/campaign/campaign.ts'
import { campaignSchema } from '../../../src/read/campaign/campaign-schema.ts'

const SAMPLE = readFileSync('samples/ladder-van/campaign.yaml', 'utf8')
/** The forms in which a section may be written. */
const FORMS = `# mine
title: 'A: b'   # quoted
vehicle: { class: van, mass_kg: 2400 } # in one line
setups:
  bare: []
  ladders: [roof bars, ladders]

  # a word
stations:
fuel:
    fill_repeatability_l: 0.05
# the end
`

const lines = (text: string): string[] => text.split('\n')

/** The lines that only one of two texts has. */
const changedLines = (before: string, after: string): string[] => [
  ...lines(before).filter((line) => !lines(after).includes(line)),
  ...lines(after).filter((line) => !lines(before).includes(line)),
]

const CASES: [what: string, text: string, path: string[], value: SettingValue, changed: string[]][] = [
  [
    'a number keeps its comment',
    SAMPLE,
    ['vehicle', 'mass_kg'],
    2500,
    [
      '  mass_kg: 2400            # weighbridge, driver and 320 kg of tools on board',
      '  mass_kg: 2500            # weighbridge, driver and 320 kg of tools on board',
    ],
  ],
  ['a new section', SAMPLE, ['place', 'lat'], 4, ['place:', '  lat: 4']],
  ['a new key of a section', SAMPLE, ['stations', 'silo', 'lat'], undefined, ['    lat: 41.8985']],
  ['a new station in one line', SAMPLE, ['stations', 'x'], { lat: 1, lon: 2 }, ['  x: { lat: 1, lon: 2 }']],
  [
    'a text that needs quotation marks',
    FORMS,
    ['title'],
    'x # y',
    ["title: 'A: b'   # quoted", 'title: "x # y"   # quoted'],
  ],
  [
    'a section in one line',
    FORMS,
    ['vehicle', 'mass_kg'],
    2500,
    ['vehicle: { class: van, mass_kg: 2400 } # in one line', 'vehicle: { class: van, mass_kg: 2500 } # in one line'],
  ],
  [
    'a key away from a section in one line',
    FORMS,
    ['vehicle', 'class'],
    undefined,
    ['vehicle: { class: van, mass_kg: 2400 } # in one line', 'vehicle: { mass_kg: 2400 } # in one line'],
  ],
  ['a list', FORMS, ['setups', 'bare'], ['a', 'b, c'], ['  bare: []', '  bare: [a, "b, c"]']],
  ['behind the last key, before a comment', FORMS, ['setups', 'x'], [], ['  x: []']],
  ['the first key of an empty section', FORMS, ['stations', 'silo', 'lat'], 5, ['  silo:', '    lat: 5']],
  ['the indentation of its section', FORMS, ['fuel', 'meter_tolerance_pct'], 1, ['    meter_tolerance_pct: 1']],
  ['a whole section away', FORMS, ['setups'], undefined, ['setups:', '  bare: []', '  ladders: [roof bars, ladders]']],
  ['an empty file', '', ['margin_pct'], 2, ['margin_pct: 2']],
  ['a file of comments', '# only\n', ['margin_pct'], 2, ['margin_pct: 2']],
]

describe('a setting changes no other line', () => {
  it.each(CASES)('%s', (_, text, path, value, changed) => {
    const after = withSetting(text, path, value) ?? ''
    expect(changedLines(text, after).filter((line) => line !== '')).toEqual(changed)
    // All else has the same values to the YAML library.
    const expected = (parse(text) ?? {}) as Record<string, unknown>
    let section = expected
    for (const key of path.slice(0, -1)) {
      section[key] ??= {}
      section = section[key] as Record<string, unknown>
    }
    if (value === undefined) delete section[path[path.length - 1]]
    else section[path[path.length - 1]] = value
    expect(parse(after)).toEqual(expected)
  })

  it('keeps the line ends of the file', () => {
    const text = SAMPLE.replaceAll('\n', '\r\n')
    expect(withSetting(text, ['margin_pct'], 3)).toBe(text.replace('margin_pct: 2', 'margin_pct: 3'))
  })

  it('changes nothing in what is no settings file', () => {
    expect(withSetting('a: [', ['title'], 'x')).toBeNull()
    expect(withSetting('- a\n', ['title'], 'x')).toBeNull()
  })
})

describe('forms ask the reader of campaign.yaml', () => {
  it('a value out of bounds is refused in its words', () => {
    const [told] = readCampaign('vehicle:\n  mass_kg: 12\n').problems
    expect(told.message).toContain('expected a number of kilograms')
    expect(changedSettings('', ['vehicle', 'mass_kg'], 12)).toEqual({ text: null, refusal: inFormWords(told.message) })
  })

  it('what is typed becomes a number with a point or a comma, and stays a text else', () => {
    expect(['2,5', '2.5', '\u22123', 'two', ' '].map((typed) => typedValue('number', typed))).toEqual([
      2.5,
      2.5,
      -3,
      'two',
      undefined,
    ])
  })

  it('every key of vehicle and fuel has a field', () => {
    const shape = (section: 'vehicle' | 'fuel'): string[] =>
      Object.keys(campaignSchema.shape[section].unwrap().unwrap().shape).map((key) => `${section}.${key}`)
    const fields = [...FIELD_GROUPS, ...MORE_GROUPS].flatMap((group) => group.fields.map(({ path }) => path.join('.')))
    const without = [...shape('vehicle'), ...shape('fuel')].filter((key) => !fields.includes(key))
    expect(without).toEqual(['vehicle.coast_down'])
  })

  it('the first file that is begun keeps all its comments', () => {
    const first = firstCampaignYaml()
    const after = changedSettings(first, ['vehicle', 'mass_kg'], 1500).text ?? ''
    expect(lines(first).filter((line) => !lines(after).includes(line))).toEqual([])
  })
})
