import { describe, expect, it } from 'vitest'
import { present } from '../../src/base/present.ts'
import type { ReportClaim } from '../../src/report/contract.ts'
import { inputFile, reportOf } from './folder.ts'
import { fillsCsv, runsCsv, simulatedLog } from './simulated-log.ts'

/** Fuel logs of simulated drives, whose true consumption is known, held against the same fuel given row by row. */
const draws = { draws: 200 }
const reportWith = (files: Parameters<typeof reportOf>[0], csv: string) =>
  reportOf([...files, inputFile('fills.csv', csv)], draws)
const changeOf = (claim: ReportClaim) => present(claim.adjusted_consumption_change_pct)

describe('a fuel log beside tracks', () => {
  const log = simulatedLog({ seed: 'plain', each: 3, dragPct: -15 })

  it('gives the claim that a row a drive gives', async () => {
    const byLog = await reportWith(log.files, fillsCsv(log.fills))
    const byRows = await reportOf([...log.files, inputFile('runs.csv', runsCsv(log))], draws)
    expect(byLog.problems.filter(({ severity }) => severity !== 'note')).toEqual([])
    expect(byLog.consumption.map(({ share }) => present(share).toFixed(3))).toEqual(new Array(6).fill('1.000'))
    const [claim, other] = [byLog.claims[0], byRows.claims[0]]
    expect(claim.runs).toEqual(other.runs)
    expect(claim.baseline_runs).toEqual(other.baseline_runs)
    // The amounts are the same; what the odometer leaves open at the log's two ends moves the weights of the drives.
    expect(Math.abs(changeOf(claim).estimate - changeOf(other).estimate)).toBeLessThan(0.5)
    expect(changeOf(claim).low95).toBeLessThan(log.truePct)
    expect(changeOf(claim).high95).toBeGreaterThan(log.truePct)
    const width = ({ low95, high95 }: ReturnType<typeof changeOf>): number => high95 - low95
    expect(width(changeOf(claim))).toBeGreaterThan(0.9 * width(changeOf(other)))
  })
})
