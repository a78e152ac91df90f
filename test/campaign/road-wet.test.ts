import { expect, it } from 'vitest'
import { delivery } from '../simulator/index.ts'
import { inputFile, reportOf } from './folder.ts'
import { simulatedFiles } from './simulated-campaign.ts'

const drives = simulatedFiles({
  seed: 'road-wet',
  shape: 'loop',
  lengthM: 8000,
  runs: 3,
  vehicle: delivery,
  campaign: 'vehicle:\n  class: van\nbaseline: a\n',
  precipitation: false,
})
const withCells = (cells: string[]) =>
  reportOf(
    [
      ...drives.files,
      inputFile(
        'runs.csv',
        `track,setup,fuel_l,road_wet\n${cells.map((cell, i) => `run-${i}.gpx,${'aab'[i]},1,${cell}`).join('\n')}\n`,
      ),
    ],
    { draws: 50 },
  )

it('the driver says whether the road was wet, where nobody reports it', async () => {
  const { runs, claims } = await withCells(['dry', 'Dry', 'wet'])
  expect(runs.map(({ air }) => air.road_wet)).toEqual([false, false, true])
  expect(claims[0].left_out.map(({ run, why }) => [run, why.code])).toEqual([['run-2', 'wet']])
})

it('an empty cell says nothing, and another word is an error that leaves the drive', async () => {
  const { runs, problems } = await withCells(['', 'damp', 'dry'])
  expect(runs.map(({ air }) => air.road_wet)).toEqual([null, null, false])
  const [problem] = problems.filter(({ code }) => code === 'road-not-wet-or-dry')
  expect(problem).toMatchObject({ severity: 'error', line: 3, message: 'road_wet: found "damp", expected wet or dry' })
})
