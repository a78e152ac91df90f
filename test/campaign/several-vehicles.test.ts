import { expect, it } from 'vitest'
import { delivery } from '../simulator/index.ts'
import { inputFile, reportOf } from './folder.ts'
import { simulatedFiles } from './simulated-campaign.ts'

it('of several recorded vehicles one counts in the model, and each other is told with its line', async () => {
  const { files } = simulatedFiles({
    seed: 'several-vehicles',
    shape: 'loop',
    lengthM: 8000,
    runs: 5,
    vehicle: delivery,
    campaign: 'vehicle:\n  class: van\nbaseline: a\n',
  })
  const rows = ['a,blue', 'b,blue', 'a,red', 'b,red', 'a,blue'].map((cells, i) => `run-${i}.gpx,${cells},1`)
  const table = inputFile('runs.csv', `track,setup,vehicle,fuel_l\n${rows.join('\n')}\n`)
  const { claims, problems } = await reportOf([...files, table], { draws: 50 })
  const [told] = problems.filter(({ code }) => code === 'several-vehicles')
  expect(told).toMatchObject({ severity: 'error', line: 4 })
  expect(told.message).toMatch(/^2 recorded drives of the vehicle red found .* of which blue has the most/)
  const [claim] = claims
  expect([...claim.runs, ...claim.baseline_runs].sort()).toEqual(['run-0', 'run-1', 'run-4'])
  expect(claim.left_out.map(({ run, why }) => [run, why.code])).toEqual([
    ['run-2', 'other-vehicle'],
    ['run-3', 'other-vehicle'],
  ])
})

it('counts one drive of a third vehicle in the singular, and advises what can be followed', async () => {
  const { files } = simulatedFiles({
    seed: 'three-vehicles',
    shape: 'loop',
    lengthM: 8000,
    runs: 4,
    vehicle: delivery,
    campaign: 'vehicle:\n  class: van\nbaseline: a\n',
  })
  const rows = ['a,blue', 'b,blue', 'a,red', 'b,green'].map((cells, i) => `run-${i}.gpx,${cells},1`)
  const table = inputFile('runs.csv', `track,setup,vehicle,fuel_l\n${rows.join('\n')}\n`)
  const { problems } = await reportOf([...files, table], { draws: 50 })
  const told = problems.filter(({ code }) => code === 'several-vehicles')
  expect(told.map(({ line }) => line)).toEqual([4, 5])
  expect(told[0].message).toMatch(/^1 recorded drive of the vehicle red found beside .* of which blue has the most/)
  expect(told[0].hint).toContain('column control of runs.csv')
})
