import { describe, expect, it } from 'vitest'
import { reportSchema } from '../../src/report/contract.ts'
import { folderFiles, inputFile, reportOf } from './folder.ts'

const files = folderFiles('samples/ladder-van')
const runsFile = files.find((f) => f.path === 'runs.csv')!
const text = new TextDecoder().decode(runsFile.bytes)
const withRuns = (changed: string): typeof files =>
  files.map((f) => (f === runsFile ? inputFile('runs.csv', changed) : f))
const [header, ...rows] = text.trimEnd().split('\n')

const report = await reportOf(files)

describe('claims of the invented sample campaign', () => {
  const claim = (setup: string) => report.claims.find((c) => c.setup === setup)!

  it('keep the contract', () => {
    expect(reportSchema.safeParse(report).error?.issues ?? []).toEqual([])
    expect(report.claims.map((c) => c.setup)).toEqual(['bars', 'bare'])
  })

  it('hold the truth that the generator knows: a bare roof has 15.3 % less drag area than one with ladders', () => {
    const drag = claim('bare').implied_drag_area_change_pct!
    // samples/scenario.ts: ladders and bars add 18 % to the bare van's drag area: 1/1.18 − 1.
    const truth = 100 * (1 / 1.18 - 1)
    expect(drag.low95).toBeLessThan(truth)
    expect(drag.high95).toBeGreaterThan(truth)
    expect(claim('bare').verdict).toBe('supported')
  })

  it('say both conventions, and they belong together', () => {
    const { adjusted_consumption_change_pct: less, adjusted_distance_per_fuel_change_pct: more } = claim('bare')
    // s = g/(1 + g): 10 % more distance per litre is 9.1 % less fuel.
    expect(1 + more!.estimate / 100).toBeCloseTo(1 / (1 + less!.estimate / 100), 9)
  })

  it('leave out the run on the wet road, and say so', () => {
    expect(claim('bare').left_out).toEqual([
      { run: '2026-04-23-ladders', reason: expect.stringMatching(/wet/), why: { code: 'wet' } },
    ])
    expect(claim('bare').statement).toMatch(/wet/)
  })

  it('share out the whole of the uncertainty, and name the step that narrows it most first', () => {
    const { uncertainty_shares, next_steps } = claim('bare')
    expect(Object.values(uncertainty_shares).reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 6)
    const after = next_steps.map((s) => s.width_after_pct)
    expect(after).toEqual(after.toSorted((a, b) => a - b))
  })

  it('tell the parts apart', () => {
    expect(report.parts.map((p) => p.part).toSorted()).toEqual(['ladders', 'roof bars'])
    for (const part of report.parts) expect(part.consumption_change_pct).not.toBeNull()
  })
})

describe('the same campaign written otherwise', () => {
  const plain = report.claims

  it('gives the same claims with its rows shuffled', async () => {
    expect((await reportOf(withRuns([header, ...rows.toReversed()].join('\n')))).claims).toEqual(plain)
  })

  it('gives the same claims with its files renamed', async () => {
    const rename = (name: string): string => name.replaceAll('2026-04-', 'drive-')
    const renamed = withRuns(rename(text)).map((f) => ({ ...f, path: rename(f.path) }))
    const changes = (claims: typeof plain) => claims.map((c) => [c.setup, c.adjusted_consumption_change_pct])
    expect(changes((await reportOf(renamed)).claims)).toEqual(changes(plain))
  })

  it('gives the same claims in US gallons and miles', async () => {
    const columns = header.split(',')
    const [fuel, odometer] = [columns.indexOf('fuel_l'), columns.indexOf('odometer_km')]
    const converted = rows.map((row) => {
      const cells = row.split(',')
      cells[fuel] = String(Number(cells[fuel]) / 3.785411784)
      cells[odometer] = String(Number(cells[odometer]) / 1.609344)
      return cells.join(',')
    })
    const head = header.replace('fuel_l', 'fuel_gal_us').replace('odometer_km', 'odometer_mi')
    const { claims } = await reportOf(withRuns([head, ...converted].join('\n')))
    claims.forEach((c, i) => {
      const [got, want] = [c.adjusted_consumption_change_pct!, plain[i].adjusted_consumption_change_pct!]
      expect(got.estimate).toBeCloseTo(want.estimate, 6)
      expect(got.low95).toBeCloseTo(want.low95, 6)
    })
  })
})

describe('a ledger with mistakes', () => {
  it.each([
    { what: 'a setup nobody defined', from: ',bars,', to: ',barz,', code: /setup/ },
    { what: '40 l for 10 km and the like', from: ',bars,6.', to: ',bars,600.', code: /impossible/ },
    { what: 'a row that names no track', from: '2026-04-16-bars.gpx', to: 'lost.gpx', code: /row-without-track/ },
  ])('$what is named with its line', async ({ from, to, code }) => {
    expect(text).toContain(from)
    const { problems } = await reportOf(withRuns(text.replace(from, to)))
    const found = problems.filter((p) => code.test(p.code))
    expect(found.length).toBeGreaterThan(0)
    expect(found[0].path).toBe('runs.csv')
    expect(found[0].line).toBe(1 + 1 + rows.findIndex((row) => row.includes(from)))
  })
})

describe('photos named in the ledger', () => {
  const picture = inputFile('photos/Van.jpg', Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 0))
  const withPhotos = [`${header},photo`, ...rows.map((row, i) => `${row},${['van.jpg', 'lost.jpg'][i] ?? ''}`)].join(
    '\n',
  )

  it('are known by path or name and counted among the inputs; one that is missing is a note with its line', async () => {
    const { runs, inputs, problems } = await reportOf([...withRuns(withPhotos), picture])
    expect(runs[0].photo).toBe('van.jpg')
    expect(inputs.find(({ path }) => path === picture.path)).toMatchObject({ kind: 'picture', sha256: picture.sha256 })
    expect(problems.filter(({ path }) => path === picture.path)).toEqual([])
    const missing = problems.filter(({ code }) => code === 'photo-not-found')
    expect(missing).toMatchObject([{ path: 'runs.csv', line: 3, severity: 'note' }])
    expect(missing[0].message).toContain('lost.jpg')
    const unnamed = (await reportOf([...withRuns(text), picture])).problems.filter(({ path }) => path === picture.path)
    expect(unnamed).toMatchObject([{ code: 'photo-unmatched', severity: 'note' }])
  })
})
