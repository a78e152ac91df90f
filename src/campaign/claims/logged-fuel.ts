import type { Problem } from '../../base/problem.ts'
import { campaignUnit } from '../../claim/fuel/measure.ts'
import type { FuelRun } from '../../claim/types.ts'

/**
 * Where runs.csv gives no amount of fuel or energy for any drive, what the vehicles' logs add up to is the measure: litres or
 * kilowatt hours, whichever more drives have. Else it is further evidence beside the amounts given, and the runs are as
 * they were.
 */
export function withLoggedFuel<R extends FuelRun>(runs: R[]): { runs: R[]; problems: Problem[] } {
  if (campaignUnit(runs) !== null) return { runs, problems: [] }
  const loggedOf = ({ logged }: R): NonNullable<FuelRun['logged']> => logged ?? NOTHING
  const litres = runs.filter((run) => loggedOf(run).fuelLitres > 0).length
  const kwh = runs.filter((run) => loggedOf(run).energyKwh > 0).length
  if (litres + kwh === 0) return { runs, problems: [] }
  const isFuel = litres >= kwh
  const [count, what] = isFuel ? [litres, 'fuel'] : [kwh, 'energy']
  const message = `runs.csv gives no fuel or energy for any drive; the ${what} that was logged counts, of ${count} ${count === 1 ? 'drive' : 'drives'}`
  const hint = 'What a logger adds up has a scale of its own: it is good for differences between drives of one vehicle.'
  return {
    runs: runs.map((run) => {
      const logged = loggedOf(run)
      return {
        ...run,
        row: isFuel ? { ...run.row, fuelLitres: logged.fuelLitres } : { ...run.row, energyKwh: logged.energyKwh },
        logged: isFuel ? { ...logged, fuelLitres: Number.NaN } : { ...logged, energyKwh: Number.NaN },
      }
    }),
    problems: [{ code: 'logged-amount-counts', severity: 'note', message, hint }],
  }
}

const NOTHING = { fuelLitres: Number.NaN, energyKwh: Number.NaN }
