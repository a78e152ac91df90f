import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { plainText } from '../../src/base/sentence.ts'
import { consistencyOf } from '../../src/claim/evidence/consistency.ts'
import { type Evidence, type EvidenceInput, evidenceOf, type PumpChange } from '../../src/claim/evidence/evidence.ts'
import { evidenceRecords, saysLittle, standsApart } from '../../src/claim/evidence/evidence-records.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import type { RunRow } from '../../src/read/runs/rows.ts'
import { evidenceWords } from '../../src/report/words/claims/evidence.ts'

const remarksOn = (evidence: Evidence): string[] =>
  evidenceWords({ evidence: evidenceRecords(evidence), measured_per_100_km: null }).map((sentence) =>
    plainText(sentence),
  )

const K = 400
const NAN_ROW = {
  line: 2,
  file: null,
  testVehicle: null,
  roadWet: null,
  vehicle: null,
  control: null,
  socBefore: Number.NaN,
  socAfter: Number.NaN,
  track: 'x.gpx',
  setup: null,
  fillGroup: null,
  from: null,
  to: null,
  split: null,
  engineOff: null,
  without: null,
  exclude: null,
  note: null,
  photo: null,
  when: null,
  consumptionLitresPer100Km: Number.NaN,
  extra: [],
  fuelLitres: Number.NaN,
  fuelKg: Number.NaN,
  energyKwh: Number.NaN,
  fuelTemperatureK: Number.NaN,
  tripComputerLitresPer100Km: Number.NaN,
  gaugeMarkM: Number.NaN,
  obdFuelLitres: Number.NaN,
  odometerM: Number.NaN,
  payloadKg: Number.NaN,
  tyrePressurePa: Number.NaN,
  accessoriesW: Number.NaN,
  temperatureK: Number.NaN,
  relativeHumidity: Number.NaN,
  windSpeedMps: Number.NaN,
  windFromDeg: Number.NaN,
} satisfies RunRow

/** A run of 100 km whose demand is known to 4 %, in an error of its own. */
function run(id: string, row: Partial<RunRow>, demand = 600, changes: Partial<FuelRun> = {}): FuelRun {
  return {
    id,
    route: 0,
    setup: null,
    startTime: 0,
    endTime: 4000,
    distanceM: 100_000,
    row: { ...NAN_ROW, ...row },
    demandDraws: drawsOf(`air/${id}`, K, 1).map((z) => demand * Math.exp(0.04 * z)),
    nominalDemandJPerM: demand,
    nominalDragJPerM: demand / 2,
    leftOut: null,
    ...changes,
  }
}

/** A pump with fills good to 1 % in the ratio and the same adjustment as the runs given. */
function pumpOf(logChange: number, mine: FuelRun, base: FuelRun): PumpChange {
  const fill = drawsOf('fill', K, 1)
  const draws = fill.map(
    (z, k) =>
      logChange +
      0.01 * z -
      Math.log((mine.demandDraws?.[k] ?? 1) / 600) +
      Math.log((base.demandDraws?.[k] ?? 1) / 600),
  )
  return { logChange, draws, runs: [mine.id], baselineRuns: [base.id] }
}

const estimateOf = (input: EvidenceInput, kind: string) => {
  const found = evidenceOf(input).estimates.find((estimate) => estimate.kind === kind)
  if (!found) throw new Error(`no estimate by ${kind}`)
  return found
}

describe('a gauge mark', () => {
  const input: EvidenceInput = {
    setupRuns: [run('after', { gaugeMarkM: 150_000 })],
    baselineRuns: [run('before', { gaugeMarkM: 120_000 })],
    pump: null,
    adjusted: false,
  }

  it('passed at 120 km and at 150 km is 20 % less fuel, give or take so much that it says little', () => {
    const gauge = estimateOf(input, 'gauge mark')
    // 120/150 - 1; ln has a standard deviation of 0.15·√2 = 0.2121: 0.8·exp(±1.96·0.2121) = 0.528 and 1.212.
    expect(gauge.consumptionChangePct.estimate).toBeCloseTo(-20, 9)
    expect(gauge.consumptionChangePct.low95).toBeCloseTo(-47.2, 1)
    expect(gauge.consumptionChangePct.high95).toBeCloseTo(21.2, 1)
    expect(saysLittle(gauge)).toBe(true)
    expect(
      remarksOn({ adjusted: false, estimates: [gauge], consistency: null, pumpWidening: 1, fusedWidening: 1 })[0],
    ).toBe(
      'By the gauge mark, consumption changed by −20.0 % (95 % interval −47.2 to +21.2 %). The mark was passed at 120 km with the baseline and at 150 km with the change. One reading is taken as good to ±15 % (one standard deviation). So wide an interval says little: it does not even separate a saving from a loss.',
    )
  })

  it('hardly moves the weighted mean beside a pump, and agreement with it is said to be worth little', () => {
    const pump = pumpOf(-0.05, input.setupRuns[0], input.baselineRuns[0])
    const evidence = evidenceOf({ ...input, pump, adjusted: true })
    expect(evidence.consistency?.weights[1]).toBeLessThan(0.01)
    expect(remarksOn(evidence).at(-1)).toContain('agree')
    expect(remarksOn(evidence).at(-1)).toContain('Agreement with the gauge mark means little')
  })
})

describe('evidenceOf', () => {
  const after = run('after', { tripComputerLitresPer100Km: 5.7, obdFuelLitres: 5.7 }, 600)
  const before = run('before', { tripComputerLitresPer100Km: 6, obdFuelLitres: 6 }, 600)
  const both = { setupRuns: [after], baselineRuns: [before] }

  it('gives the change of each reading', () => {
    for (const kind of ['trip computer', 'logged fuel']) {
      const { consumptionChangePct, logSd } = estimateOf({ ...both, pump: null, adjusted: false }, kind)
      expect(consumptionChangePct.estimate).toBeCloseTo(-5, 9)
      expect(logSd).toBeCloseTo(0.02 * Math.SQRT2, 6)
    }
  })

  it('adjusts by the ratio of demands and widens by their errors', () => {
    // 10 % less fuel where the unchanged vehicle would have needed 4 % less.
    const easier = run('after', { tripComputerLitresPer100Km: 5.4 }, 576)
    const { consumptionChangePct, logSd } = estimateOf(
      { setupRuns: [easier], baselineRuns: [before], pump: null, adjusted: true },
      'trip computer',
    )
    expect(consumptionChangePct.estimate).toBeCloseTo(100 * (0.9 / 0.96 - 1), 9)
    // Two readings of 2 % and two demands of 4 %; 400 draws leave their correlation uncertain by 0.05.
    expect(logSd / Math.hypot(0.02, 0.02, 0.04, 0.04)).toBeGreaterThan(0.94)
    expect(logSd / Math.hypot(0.02, 0.02, 0.04, 0.04)).toBeLessThan(1.06)
  })

  it('lets the adjustment widen all estimates but excuse no disagreement between them', () => {
    const pump = pumpOf(-0.2, after, before)
    const { consistency, estimates } = evidenceOf({ ...both, pump, adjusted: true })
    expect(estimates.every(({ logSd }) => logSd > 0.05)).toBe(true)
    // Pump against two others that agree: -0.2 against ln 0.95 with 1 % and 2 % / √2·√2 of their own.
    const distance = Math.abs(-0.2 - Math.log(0.95)) / Math.hypot(0.01, 0.02)
    expect(consistency?.chiSquare).toBeGreaterThan(0.8 * distance ** 2)
    expect(consistency?.p).toBeLessThan(0.001)
  })

  it('leaves out runs without a reading, runs left out, and runs without a demand when adjusted', () => {
    const runs = [
      after,
      run('none', {}),
      run('zero', { gaugeMarkM: 0 }),
      run('wet', { obdFuelLitres: 9 }, 600, { leftOut: { code: 'wet' } }),
    ]
    const blind = run('blind', { tripComputerLitresPer100Km: 6 }, 600, { demandDraws: null })
    const adjusted = evidenceOf({ setupRuns: runs, baselineRuns: [before, blind], pump: null, adjusted: true })
    expect(adjusted.estimates.map(({ kind, runs, baselineRuns }) => ({ kind, runs, baselineRuns }))).toEqual([
      { kind: 'trip computer', runs: ['after'], baselineRuns: ['before'] },
      { kind: 'logged fuel', runs: ['after'], baselineRuns: ['before'] },
    ])
    expect(evidenceOf({ setupRuns: runs, baselineRuns: [blind], pump: null, adjusted: true }).estimates).toEqual([])
    const raw = evidenceOf({ setupRuns: runs, baselineRuns: [before, blind], pump: null, adjusted: false })
    expect(raw.estimates[0].baselineRuns).toEqual(['before', 'blind'])
  })

  it('believes readings that scatter more than stated by their own scatter', () => {
    const readings = (values: number[]) =>
      values.map((value, i) => run(`r${value}-${i}`, { tripComputerLitresPer100Km: value }))
    const wild = estimateOf(
      { setupRuns: readings([5, 6, 7]), baselineRuns: readings([5, 6, 7]), pump: null, adjusted: false },
      'trip computer',
    )
    expect(wild.scattersMore).toBe(true)
    // Standard deviation of ln 5, 6, 7 is 0.1686; two means of three.
    expect(wild.logSd).toBeCloseTo(0.1686 * Math.sqrt(2 / 3), 3)
    expect(
      remarksOn({ adjusted: false, estimates: [wild], consistency: null, pumpWidening: 1, fusedWidening: 1 })[0],
    ).toContain('scatter more')
    const tame = estimateOf(
      { setupRuns: readings([5.9, 6, 6.1]), baselineRuns: readings([6, 6.1, 6]), pump: null, adjusted: false },
      'trip computer',
    )
    expect(tame.scattersMore).toBe(false)
    expect(tame.logSd).toBeCloseTo(0.02 * Math.sqrt(2 / 3), 6)
  })

  it('does not blame a reading for scatter that the vehicle or the adjustment has', () => {
    const runs = [5, 6, 7].map((value) => run(`r${value}`, { tripComputerLitresPer100Km: value }))
    const scatterOf = (one: FuelRun) => drawsOf(`vehicle/${one.id}`, K, 1).map((z) => 0.17 * z)
    const { scattersMore } = estimateOf(
      { setupRuns: runs, baselineRuns: runs, pump: null, adjusted: false, scatterOf },
      'trip computer',
    )
    expect(scattersMore).toBe(false)
  })

  it('names the one that stands apart, and by how much', () => {
    const off = run('after', { tripComputerLitresPer100Km: 6.6, obdFuelLitres: 5.7 })
    const evidence = evidenceOf({
      setupRuns: [off],
      baselineRuns: [before],
      pump: pumpOf(Math.log(0.95), off, before),
      adjusted: true,
    })
    const apart = standsApart(evidence)
    expect(apart?.kind).toBe('trip computer')
    // +10 % against -5 %.
    expect(apart?.fromOthersPct).toBeCloseTo(100 * (1.1 / 0.95 - 1), 0)
    expect(remarksOn(evidence).at(-1)).toMatch(
      /The trip computer stands apart: \+15\.\d % against the others together, [45]\.\d standard deviations\./,
    )
    const records = evidenceRecords(evidence)
    expect(records.map(({ kind }) => kind)).toEqual(['pump', 'trip computer', 'logged fuel', 'consistency'])
    expect(records[3]).toMatchObject({ agree: false, degrees_of_freedom: 2, stands_apart: { kind: 'trip computer' } })
    expect(JSON.parse(JSON.stringify(records))).toEqual(records)
  })

  it('widens the pump by the Birge ratio where two ways disagree, and not where one of three stands apart from it', () => {
    const off = run('after', { tripComputerLitresPer100Km: 6.6, obdFuelLitres: 5.7 })
    const two = evidenceOf({
      setupRuns: [{ ...off, row: { ...off.row, obdFuelLitres: Number.NaN } }],
      baselineRuns: [before],
      pump: pumpOf(Math.log(0.95), off, before),
      adjusted: true,
    })
    // Birge 1932: the root of chi-square over its degrees of freedom.
    expect(two.pumpWidening).toBeCloseTo(Math.sqrt(two.consistency!.chiSquare), 12)
    expect(two.pumpWidening).toBeGreaterThan(1.96)
    expect(remarksOn(two).at(-1)).toMatch(/goes by the pump alone, and its interval is \d\.\d times as wide/)
    const pump = pumpOf(Math.log(0.95), off, before)
    expect(evidenceOf({ setupRuns: [off], baselineRuns: [before], pump, adjusted: true }).pumpWidening).toBe(1)
    const far = pumpOf(-0.2, after, before)
    expect(evidenceOf({ ...both, pump: far, adjusted: true }).pumpWidening).toBeGreaterThan(1.7)
  })

  it.each([
    [0.02, 'agree within their uncertainties', null],
    // In √(2² + 2² + 0.94²) % = 2.98 %: 2.06 standard deviations, p 0.04 (normal table), which are the Birge ratio.
    [0.0615, 'agree only barely', 2.06],
    [0.12, 'disagree', null],
  ])('of two readings that differ by %s says that they %s', (apart, words, widening) => {
    const off = run('after', { tripComputerLitresPer100Km: 6 * Math.exp(apart) })
    const base = run('before', { tripComputerLitresPer100Km: 6 })
    const evidence = evidenceOf({ setupRuns: [off], baselineRuns: [base], pump: pumpOf(0, off, base), adjusted: true })
    const record = evidenceRecords(evidence).at(-1)
    expect(remarksOn(evidence).at(-1)).toContain(words)
    if (widening === null) expect(record).toMatchObject({ fused_widened_by: null })
    else expect(evidence.fusedWidening).toBeCloseTo(widening, 1)
  })

  it('says which is furthest even where a gauge that says little hides it in the test', () => {
    const off = run('after', { tripComputerLitresPer100Km: 6.1, obdFuelLitres: 5.7, gaugeMarkM: 120_000 })
    const base = run('before', { tripComputerLitresPer100Km: 6, obdFuelLitres: 6, gaugeMarkM: 120_000 })
    const pump = pumpOf(Math.log(0.95), off, base)
    const evidence = evidenceOf({ setupRuns: [off], baselineRuns: [base], pump, adjusted: true })
    // ln(6.1/6) against ln 0.95, about 6.8 %, in √(2² + 2² + 0.94²) % = 3.0 %: 2.3 standard deviations.
    expect(standsApart(evidence)).toBeNull()
    expect(remarksOn(evidence).at(-1)).toMatch(
      /agree .* Furthest from the others is the trip computer: \+7\.\d %, 2\.\d standard deviations/,
    )
  })

  it('shows the claim’s own interval for the pump', () => {
    const changePct = { estimate: -5, low95: -9, high95: -1 }
    const input = { ...both, pump: { ...pumpOf(Math.log(0.95), after, before), changePct }, adjusted: true }
    expect(estimateOf(input, 'pump').consumptionChangePct).toEqual(changePct)
  })

  it('of two that disagree does not say which is out', () => {
    const off = run('after', { tripComputerLitresPer100Km: 6.6 })
    const evidence = evidenceOf({
      setupRuns: [off],
      baselineRuns: [before],
      pump: pumpOf(-0.05, off, before),
      adjusted: true,
    })
    expect(standsApart(evidence)).toBeNull()
    expect(remarksOn(evidence).at(-1)).toContain('Two alone do not show which is wrong.')
  })

  it('has nothing to hold together where there is one estimate or none', () => {
    const alone = evidenceOf({
      setupRuns: [run('a', {})],
      baselineRuns: [run('b', {})],
      pump: pumpOf(-0.05, after, before),
      adjusted: true,
    })
    expect(alone.estimates).toHaveLength(1)
    expect(alone.consistency).toBeNull()
    expect(evidenceRecords(alone)).toHaveLength(1)
    expect(evidenceOf({ setupRuns: [], baselineRuns: [], pump: null, adjusted: true }).estimates).toEqual([])
  })
})

describe('consistencyOf', () => {
  it('by hand: 10 ± 1, 12 ± 1 and 17 ± 2', () => {
    const diagonal = [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 4],
    ]
    const result = consistencyOf([10, 12, 17], diagonal)
    // Weights 4 : 4 : 1, mean (40 + 48 + 17) / 9 = 35/3; chi-square (25 + 1) / 9 + (16/3)² / 4 = 10.
    expect(result?.weightedMean).toBeCloseTo(35 / 3, 12)
    expect(result?.standardError).toBeCloseTo(2 / 3, 12)
    expect(result?.chiSquare).toBeCloseTo(10, 12)
    // With two degrees of freedom exp(-10/2).
    expect(result?.p).toBeCloseTo(Math.exp(-5), 9)
    // 17 against the mean of the others, 11 ± 1/√2.
    expect(result?.fromOthers[2]).toBeCloseTo(6, 12)
    expect(result?.normalisedResiduals[2]).toBeCloseTo(6 / Math.sqrt(4.5), 12)
  })

  it('an error that all share widens the mean and leaves the test', () => {
    const plain = consistencyOf(
      [10, 12],
      [
        [1, 0],
        [0, 1],
      ],
    )
    const shared = consistencyOf(
      [10, 12],
      [
        [101, 100],
        [100, 101],
      ],
    )
    expect(shared?.chiSquare).toBeCloseTo(plain?.chiSquare ?? 0, 9)
    expect(shared?.weightedMean).toBeCloseTo(11, 9)
    expect(shared?.standardError).toBeCloseTo(Math.sqrt(100.5), 9)
  })

  it('says disagree of estimates that are right in 5 % of cases', () => {
    const columns = ['a', 'b', 'c'].map((name) => drawsOf(name, 2000, 7))
    const wrong = columns[0].filter(
      (_, k) =>
        (consistencyOf(
          columns.map((column) => column[k]),
          [
            [1, 0, 0],
            [0, 1, 0],
            [0, 0, 1],
          ],
        )?.p ?? 1) < 0.05,
    )
    // Four binomial standard deviations about 5 %.
    expect(Math.abs(wrong.length / 2000 - 0.05)).toBeLessThan(0.0195)
  })
})
