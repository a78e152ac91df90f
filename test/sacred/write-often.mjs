/** Writes a report to one place again and again: node write-often.mjs <place> <writer> <times>; says what went wrong. */
import { register } from 'node:module'

register('../../samples/load-typescript.mjs', import.meta.url)
const { writeReport } = await import('../../src/files/write.ts')

const [place, writer, times] = process.argv.slice(2)
for (let i = 0; i < Number(times); i++) {
  const text = `${writer} ${i} `.repeat(1000)
  const names = ['report.json', 'runs.csv', 'cards/a.svg', 'cards/deep/b.svg', 'points/c.csv']
  const { problems } = await writeReport(place, Object.fromEntries(names.map((name) => [name, text])))
  for (const { code, message, file } of problems) console.log(`${writer} ${i}: ${code} ${file}: ${message}`)
}
