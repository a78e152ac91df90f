import type { CampaignResult } from '../../src/campaign/campaign-result.ts'
import { runCampaign } from '../../src/campaign/run-campaign.ts'
import type { Along } from '../../src/report/along-data.ts'
import type { Report } from '../../src/report/contract.ts'
import { DEFAULTS, folderFiles, inputFile } from '../campaign/folder.ts'
import { DAY_START, exampleDay, WHOLE_DAY } from '../simulator/example-days.ts'
import { fixture, pair } from './fixture.ts'

const SETTINGS = { ...DEFAULTS, draws: 60, limits: ['sae-j1321-2012'] }

/** What was made of the same files and margin, for all test files of a worker. */
const made = new Map<string, Promise<CampaignResult>>()

/** The sample campaign, or a part of it, through the whole tool; not to be changed, since other tests have the same one. */
export function sampleResult(
  wanted: (name: string) => boolean = () => true,
  change: (text: string) => string = (text) => text,
  marginPct: number | null = null,
): Promise<CampaignResult> {
  const files = folderFiles('samples/ladder-van', wanted).map((file) =>
    file.path.endsWith('.gpx') ? inputFile(file.path, change(new TextDecoder().decode(file.bytes))) : file,
  )
  const key = JSON.stringify([marginPct, files.map(({ path, sha256 }) => [path, sha256])])
  const known = made.get(key)
  if (known) return known
  const result = runCampaign({ files, unreadable: [], settings: { ...SETTINGS, marginPct }, version: 'test' })
  made.set(key, result)
  return result
}

/** Five of its eight drives, with all three setups: what is tried on the page goes twice as fast with ten pairs as with 28. */
export const partOfSample = (): Promise<CampaignResult> => sampleResult((name) => !/2026-04-(15-b|17|23)/.test(name))

/** Two days of a logger that ran from home to home: divided recordings, stints of laps, private ends. */
export function daysResult(): Promise<CampaignResult> {
  const rows = Array.from(
    { length: 60 },
    (_, i) => `${new Date((DAY_START + 3600 * (i - 1)) * 1000).toISOString()},S,47.3,8.1,400,15,60,960,2,270`,
  )
  const weather = `time,station,lat,lon,elevation_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg\n${rows.join('\n')}\n`
  const files = [
    inputFile('day.gpx', exampleDay(WHOLE_DAY).gpx),
    inputFile('next.gpx', exampleDay(WHOLE_DAY, { seed: 'next', startS: DAY_START + 86_400 }).gpx),
    inputFile('weather.csv', weather),
  ]
  return runCampaign({ files, unreadable: [], settings: SETTINGS, version: 'test' })
}

/** A report without any run. */
export const emptyReport: Report = { ...fixture, runs: [], pairs: [], routes: [] }

/** A report of so many runs made of one with few, each under other names; pairs against the first ones. */
export function manyRuns(report: Report, along: Along, count: number, pairCount: number): [Report, Along] {
  const runs = Array.from({ length: count }, (_, i) => ({ ...report.runs[i % report.runs.length], id: `run-${i + 1}` }))
  const pairs = Array.from({ length: pairCount }, (_, i) => {
    const [a, b] = [Math.floor(i / count), i % count]
    const model = report.pairs[i % report.pairs.length]
    return { ...pair(runs[a].id, runs[b === a ? count - 1 : b].id, model), a: runs[a].id, b: runs[b].id }
  }).filter(({ a, b }) => a !== b)
  const drawn = Array.from({ length: 24 }, (_, i) => ({ ...along.runs[i % along.runs.length], run: `run-${i + 1}` }))
  return [
    { ...report, runs, pairs, pairs_note: `With ${count} runs, this list holds a part of the pairs.` },
    { ...along, runs: drawn, selection: `Of ${count} drives, 24 are drawn here.` },
  ]
}
