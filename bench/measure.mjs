/** What the benches measure and print with. */
import { loadavg } from 'node:os'
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'

export const load = () => loadavg()[0].toFixed(1)

export const median = (values) => [...values].sort((a, b) => a - b)[values.length >> 1]
setFlagsFromString('--expose-gc')
/** So that nobody clears up after the one before. */
export const collectGarbage = runInNewContext('gc')

/** Processor time, which other programs on the machine change least. */
export const seconds = (work) => {
  const start = process.cpuUsage()
  work()
  const { user, system } = process.cpuUsage(start)
  return (user + system) / 1e6
}
export const row = (what, value, note = '') => console.log(`  ${what.padEnd(44)}${value.padStart(12)}  ${note}`)
