/**
 * Writes a report to one place again and again: node write-often.mjs <module with writeReport> <place> <writer> <times>;
 * says what went wrong.
 */
import { pathToFileURL } from 'node:url'

const [module, place, writer, times] = process.argv.slice(2)
const { writeReport } = await import(pathToFileURL(module).href)
for (let i = 0; i < Number(times); i++) {
  const text = `${writer} ${i} `.repeat(1000)
  const names = ['report.json', 'runs.csv', 'cards/a.svg', 'cards/deep/b.svg', 'points/c.csv']
  const { problems } = await writeReport(place, Object.fromEntries(names.map((name) => [name, text])))
  for (const { code, message, file } of problems) console.log(`${writer} ${i}: ${code} ${file}: ${message}`)
}
