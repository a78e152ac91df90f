import { describe, expect, it } from 'vitest'
import { defaultCampaign, readCampaign } from '../../src/read/campaign/campaign.ts'

const problemAt = (text: string) =>
  readCampaign(text).problems.map(({ code, severity, line, column }) => `${line}:${column} ${severity} ${code}`)

const whole = `title: Crosswinds on the dyke road
time_zone: Europe/Amsterdam
baseline: bare
margin_pct: 1.5
vehicle:
  class: van
  mass_kg: 2100
  mass_kg_uncertainty: 40
  frontal_area_m2: 4.0
  frontal_area_m2_uncertainty: 0.2
  drag_coefficient: 0.35
  drag_coefficient_uncertainty: 0.028
  rolling_resistance: 0.009
  powertrain: diesel
  reference_height_m: 1.1
  coast_down: {a_n: 150, b_n_per_mps: 1.5, c_n_per_mps2: 0.9, reference_temperature_c: 20, reference_density_kgm3: 1.189}
setups:
  bare:
  rack: [roof rack]
  both: [roof rack, skirts]
fuel: {fill_repeatability_l: 0.15, meter_tolerance_pct: 0.5}
stations:
  EHKD: {lat: 52.92, lon: 4.78, elevation_m: 1, anemometer_height_m: 10}
  TOWER: {anemometer_height_m: 8}
terrain: open
limits: [j1321-2012]
`

describe('a campaign that is right', () => {
  const { value, problems } = readCampaign(whole)
  const campaign = value ?? defaultCampaign()

  it('comes back in SI units without a remark', () => {
    expect(problems).toEqual([])
    expect(campaign.title).toBe('Crosswinds on the dyke road')
    expect(campaign.timeZone).toBe('Europe/Amsterdam')
    expect(campaign.marginPct).toBe(1.5)
    expect(campaign.setups).toEqual({ bare: [], rack: ['roof rack'], both: ['roof rack', 'skirts'] })
    expect(campaign.fuel).toEqual({ fillRepeatabilityLitres: 0.15, meterTolerancePct: 0.5 })
    expect(campaign.terrain).toBe('open')
    expect(campaign.limits).toEqual(['j1321-2012'])
    expect(campaign.vehicle.massUncertaintyKg).toBe(40)
    expect(campaign.vehicle.coastDown?.referenceTemperatureK).toBe(293.15)
  })

  it('multiplies frontal area and drag coefficient, and adds their relative uncertainties in quadrature', () => {
    // 4.0 × 0.35 = 1.4 m²; √(0.05² + 0.08²) = 0.0943398 of it (JCGM 100:2008, equation 12).
    expect(campaign.vehicle.dragAreaM2).toBeCloseTo(1.4, 12)
    expect(campaign.vehicle.dragAreaUncertaintyM2).toBeCloseTo(1.4 * 0.0943398, 6)
  })

  it('keeps a station without a position, with NaN for what is not said', () => {
    expect(campaign.stations[0]).toEqual({
      id: 'EHKD',
      latitude: 52.92,
      longitude: 4.78,
      elevationM: 1,
      anemometerHeightM: 10,
    })
    expect(campaign.stations[1]).toEqual({
      id: 'TOWER',
      latitude: Number.NaN,
      longitude: Number.NaN,
      elevationM: Number.NaN,
      anemometerHeightM: 8,
    })
  })
})

describe('what is wrong is reported with its place, all at once', () => {
  const cases: { what: string; text: string; want: string[] }[] = [
    {
      what: 'a misspelt key',
      text: 'margin_pct: 1\nvehicel:\n  class: car\n',
      want: ['2:1 error campaign-unknown-key'],
    },
    {
      what: 'a misspelt key in a section',
      text: 'vehicle:\n  mas_kg: 1500\n',
      want: ['2:3 error campaign-unknown-key'],
    },
    { what: 'a text for a number', text: 'vehicle:\n  mass_kg: heavy\n', want: ['2:12 error campaign-value'] },
    { what: 'a number out of range', text: 'vehicle:\n  mass_kg: 1.5\n', want: ['2:12 error campaign-value'] },
    { what: 'no number at all', text: 'margin_pct: .nan\n', want: ['1:13 error campaign-value'] },
    { what: 'an unknown word', text: 'terrain: roughly-open\n', want: ['1:10 error campaign-value'] },
    {
      what: 'a part in the place of a list',
      text: 'setups:\n  a: []\n  b: skirts\n',
      want: ['3:6 error campaign-value'],
    },
    { what: 'a part that is a number', text: 'setups:\n  a: [x, 3]\n', want: ['2:10 error campaign-value'] },
    {
      what: 'a missing key',
      text: 'vehicle:\n  coast_down: {a_n: 1, b_n_per_mps: 1, c_n_per_mps2: 1, reference_temperature_c: 20}\n',
      want: ['2:3 error campaign-missing-key'],
    },
    { what: 'a key twice', text: 'margin_pct: 1\nmargin_pct: 2\n', want: ['2:1 error yaml-duplicate-key'] },
    { what: 'a second document', text: 'margin_pct: 1\n---\ntitle: x\n', want: ['2:1 error yaml-second-document'] },
    {
      what: 'half a drag area',
      text: 'vehicle:\n  class: car\n  drag_coefficient: 0.3\n',
      want: ['3:3 error campaign-drag-incomplete'],
    },
    { what: 'half a position', text: 'stations:\n  A: {lat: 50}\n', want: ['2:3 error campaign-station-position'] },
    {
      what: 'a baseline that is no setup',
      text: 'setups: {bare: []}\nbaseline: bar\n',
      want: ['2:11 warning campaign-baseline'],
    },
    { what: 'a zone that is none', text: 'time_zone: Europe/Viena\n', want: ['1:12 error campaign-time-zone'] },
    { what: 'a list in the place of all', text: '- a\n- b\n', want: ['1:1 error campaign-value'] },
    { what: 'a page of the web', text: '<!doctype html><p>no</p>', want: ['1:1 error campaign-value'] },
    {
      what: 'many at once, in the order of the file',
      text: 'margin: 2\nvehicle: {mass_kg: "1500 kg", clas: car}\nlimits: none\n',
      want: [
        '1:1 error campaign-unknown-key',
        '2:20 error campaign-value',
        '2:31 error campaign-unknown-key',
        '3:9 error campaign-value',
      ],
    },
    { what: 'after a byte order mark', text: '\uFEFFmargn_pct: 1\n', want: ['1:1 error campaign-unknown-key'] },
    { what: 'with CR LF', text: 'title: x\r\nmargn_pct: 1\r\n', want: ['2:1 error campaign-unknown-key'] },
  ]
  it.each(cases)('$what', ({ text, want }) => {
    expect(problemAt(text)).toEqual(want)
    expect(readCampaign(text).value).not.toBeNull()
  })

  it.each([
    ['vehicel: {}', 'Did you mean vehicle?'],
    ['vehicle: {mass_uncertainty_kg: 20}', 'Did you mean mass_kg_uncertainty?'],
    ['terrain: roughly open', 'Did you mean roughly_open?'],
    ['vehicle: {mass_kg: 1500 kg}', 'Write the number alone; its unit is in the name of the key.'],
    ['vehicle: {drag_area_m2: "0,65"}', 'Write the decimals after a point: 0.65.'],
    ['vehicle: {rolling_resistance: 9}', 'If this is in kg/t, write 0.009.'],
    ['time_zone: Europe/Viena', 'Did you mean Europe/Vienna?'],
    // As near to Kiev; but people leave out the end of a name.
    ['time_zone: Europe/Vien', 'Did you mean Europe/Vienna?'],
    ['qqqqqqqqq: 1', undefined],
  ])('%s → %s', (text, hint) => {
    expect(readCampaign(text).problems[0].hint).toBe(hint)
  })

  it('says what was found and what was expected', () => {
    expect(readCampaign('margin_pct: lots').problems[0].message).toBe(
      'margin_pct: found the text "lots", expected a number of percent from 0.05 to 50',
    )
  })
})

describe('a bad key does not lose the rest', () => {
  it('falls back to the default of that key alone', () => {
    const text =
      'title: T\nmargin_pct: 900\nvehicle: {class: vann, mass_kg: 2000}\nsetups: {a: [x, 3, y], b: no}\nbogus: 1\n'
    const { value } = readCampaign(text)
    expect(value?.title).toBe('T')
    expect(value?.marginPct).toBe(defaultCampaign().marginPct)
    expect(value?.vehicle.class).toBeNull()
    expect(value?.vehicle.massKg).toBe(2000)
    expect(value?.setups).toEqual({ a: ['x', 'y'] })
  })

  it('leaves out what is incomplete without the bad key', () => {
    const text =
      'vehicle:\n  mass_kg: 2000\n  coast_down: {a_n: x, b_n_per_mps: 1, c_n_per_mps2: 1, reference_temperature_c: 20, reference_density_kgm3: 1.2}\n'
    const { value, problems } = readCampaign(text)
    expect(value?.vehicle.coastDown).toBeNull()
    expect(value?.vehicle.massKg).toBe(2000)
    expect(problems).toHaveLength(1)
  })
})

describe('what is no campaign', () => {
  it('is the default with a note when empty', () => {
    for (const text of ['', '\n\n', '# only a comment\n']) {
      expect(readCampaign(text)).toEqual({
        value: defaultCampaign(),
        problems: [
          { code: 'campaign-empty', severity: 'note', message: 'the file says nothing; the defaults are used' },
        ],
      })
    }
  })

  it('has no value and a place when it is not YAML', () => {
    const { value, problems } = readCampaign('title: x\nvehicle: {class: car\nmargin_pct: 1\n')
    expect(value).toBeNull()
    expect(problems[0].code).toBe('yaml-syntax')
    expect(problems[0].line).toBe(3)
  })

  it('has no value when it expands without end, nests without end, or names what is not there', () => {
    let bomb = 'a0: &a0 [x, x, x, x, x, x, x, x, x]\n'
    for (let i = 1; i < 9; i++)
      bomb += `a${i}: &a${i} [${Array(9)
        .fill(`*a${i - 1}`)
        .join(', ')}]\n`
    const codes = [
      bomb,
      'title: *missing\n',
      '['.repeat(200_000),
      `title:\n${'- '.repeat(5000)}x`,
      `a: "${'x'.repeat(1_000_001)}"`,
    ].map((text) => readCampaign(text).problems.map((problem) => problem.code))
    expect(codes).toEqual([['yaml-alias'], ['yaml-alias'], ['yaml-too-deep'], ['yaml-too-deep'], ['yaml-too-large']])
    expect(readCampaign('title: x\nbaseline: *missing\n').problems[0]).toMatchObject({ line: 2, column: 11 })
  })

  it('cannot reach the objects behind plain objects', () => {
    const { value, problems } = readCampaign(
      '__proto__: {polluted: true}\nsetups: {__proto__: [x], constructor: [y]}\n',
    )
    expect(({} as Record<string, unknown>).polluted).toBeUndefined()
    expect(problems[0]).toMatchObject({ code: 'campaign-unknown-key', line: 1, column: 1 })
    expect(value?.setups.constructor).toEqual(['y'])
  })
})
