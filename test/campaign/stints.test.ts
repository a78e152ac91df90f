import { describe, expect, it } from 'vitest'
import { DAY_START, exampleDay, LAPS } from '../simulator/example-days.ts'
import { inputFile, reportOf } from './folder.ts'

/** Stints of laps with fuel: what a claim says that it rests on. */
const files = ['a', 'b', 'c'].map((name, i) =>
  inputFile(`${name}.gpx`, exampleDay(LAPS(3), { seed: name, startS: DAY_START + 7200 * i }).gpx),
)
const reported = async (rows: string) =>
  reportOf([...files, inputFile('runs.csv', `track,setup,fuel_l\n${rows}`)], { draws: 100 })

describe('claims of stints', () => {
  it('count stints, not laps, and list no lap as left out', async () => {
    const { claims, stints } = await reported(
      'a.gpx@0700.1-3,bare,0.9\nb.gpx@0900.1-3,rack,1\nc.gpx@1100.1-3,bare,0.92\n',
    )
    expect(stints).toHaveLength(3)
    const [claim] = claims
    expect(claim.stints).toEqual({ setup: { count: 1, runs: 3 }, baseline: { count: 2, runs: 6 } })
    expect(claim.left_out).toEqual([])
    expect(claim.statement).toContain('1 stint (3 drives) with rack and 2 stints (6 drives) with bare')
    expect(claim.caution_codes).toEqual([{ code: 'single-stint', setups: ['rack'] }])
    expect(claim.cautions[0]).toMatch(/^There is a single stint with rack/)
  })

  it('say nothing of stints where every drive has its own fuel', async () => {
    const rows = ['a', 'b'].flatMap((name, i) =>
      [1, 2, 3].map((lap) => `${name}.gpx@0${7 + 2 * i}00.${lap},${i ? 'rack' : 'bare'},0.3`),
    )
    const { claims, stints } = await reported(`${rows.join('\n')}\n`)
    expect(stints).toEqual([])
    expect(claims.map((claim) => claim.stints)).toEqual([null])
    expect(claims[0].statement).toContain('3 drives with rack and 3 with bare')
  })
})

describe('laps', () => {
  it('begin and end on the move, and are not told to be cut', async () => {
    const { runs } = await reported('')
    expect(runs).toHaveLength(9)
    expect(runs.flatMap((run) => run.flags.map(({ code }) => code))).not.toContain('cut-while-moving')
  })
})
