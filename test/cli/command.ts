import { spawnSync } from 'node:child_process'
import { cpSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { MessageChannel, receiveMessageOnPort, Worker } from 'node:worker_threads'

export const ROOT = fileURLToPath(new URL('../..', import.meta.url))
/** The program as installed: compiled, started by its bin file. */
export const PROGRAM = join(ROOT, 'bin/ceteris.js')

export interface Ended {
  status: number | null
  stdout: string
  stderr: string
}

/** A call of the program in a process of its own, as at a terminal. */
export function ceterisProcess(...args: string[]): Ended {
  const { status, stdout, stderr } = spawnSync(process.execPath, [PROGRAM, ...args], {
    encoding: 'utf8',
    env: { ...process.env, NO_COLOR: '1' },
  })
  return { status, stdout, stderr }
}

/** A call of the built program in a thread that stays warm: the same code and the same answer in a quarter of the time. */
export const ceteris = (...args: string[]): Ended => ceterisIn({}, ...args)

interface Place {
  cwd?: string
  env?: NodeJS.ProcessEnv
}

/** The same in another folder or environment. */
export function ceterisIn({ cwd, env = { ...process.env, NO_COLOR: '1' } }: Place, ...words: string[]): Ended {
  warm ??= startWarm()
  const signal = new Int32Array(new SharedArrayBuffer(4))
  const { port1, port2 } = new MessageChannel()
  const before = process.cwd()
  if (cwd !== undefined) process.chdir(cwd)
  try {
    warm.postMessage({ words, env: { ...env }, signal, port: port2 }, [port2])
    if (Atomics.wait(signal, 0, 0, HANG_MS) === 'timed-out') return endHanging()
  } finally {
    process.chdir(before)
  }
  const ended = receiveMessageOnPort(port1)?.message as Ended
  port1.close()
  return ended
}

/** The same for a test that meanwhile answers what the program asks for. */
export async function ceterisSoon(env: NodeJS.ProcessEnv, ...words: string[]): Promise<Ended> {
  warm ??= startWarm()
  const { port1, port2 } = new MessageChannel()
  const ended = new Promise<Ended>((resolve) => port1.once('message', resolve))
  warm.postMessage({ words, env: { ...env }, signal: new Int32Array(new SharedArrayBuffer(4)), port: port2 }, [port2])
  try {
    return await ended
  } finally {
    port1.close()
  }
}

let warm: Worker | undefined
const HANG_MS = 600_000

function endHanging(): Ended {
  warm?.terminate()
  warm = undefined
  return { status: null, stdout: '', stderr: 'hangs' }
}

function startWarm(): Worker {
  const thread = new Worker(new URL('warm-program.mjs', import.meta.url), { stdin: false })
  thread.unref()
  return thread
}

/** A straight drive north along a meridian at 25 m/s with a fix each second, and nothing else to say. */
export function straightTrack(start: string, seconds = 240): string {
  const points = Array.from({ length: seconds }, (_, i) => {
    const time = new Date(Date.parse(start) + i * 1000).toISOString()
    return `<trkpt lat="${(52 + (i * 25) / 111_250).toFixed(7)}" lon="5"><ele>3</ele><time>${time}</time></trkpt>`
  })
  return `<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>${points.join('\n')}</trkseg></trk></gpx>`
}

/** A steady air with every quantity, from 08:00 to 09:00 on 3 May 2024, 1 km from the straight drives. */
export const STEADY_WEATHER = `station,time,lat,lon,elevation_m,anemometer_height_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg
${['08:00', '08:30', '09:00'].map((time) => `A,2024-05-03T${time}Z,52.01,5,3,10,14,70,1010,4,200`).join('\n')}
`

/** A folder with files of the given names and texts. */
export function folderWith(path: string, files: Record<string, string>): string {
  mkdirSync(path, { recursive: true })
  for (const [name, text] of Object.entries(files)) {
    mkdirSync(join(path, name, '..'), { recursive: true })
    writeFileSync(join(path, name), text)
  }
  return path
}

/** The first days of the sample campaign: two runs with ladders, two with a bare roof, two stations. */
export function smallCampaign(path: string): string {
  const sample = join(ROOT, 'samples/ladder-van')
  mkdirSync(join(path, 'tracks'), { recursive: true })
  cpSync(join(sample, 'weather'), join(path, 'weather'), { recursive: true })
  cpSync(join(sample, 'campaign.yaml'), join(path, 'campaign.yaml'))
  const rows = readFileSync(join(sample, 'runs.csv'), 'utf8').trimEnd().split('\n')
  const kept = rows.filter((row) => /^(track|2026-04-1[45])/.test(row))
  writeFileSync(join(path, 'runs.csv'), `${kept.join('\n')}\n`)
  for (const row of kept.slice(1)) {
    const track = row.split(',')[0]
    cpSync(join(sample, 'tracks', track), join(path, 'tracks', track))
  }
  return path
}

/** Two short drives with everything that a campaign can hold: quick to read. */
export function shortCampaign(path: string): string {
  return folderWith(path, {
    'tracks/monday.gpx': straightTrack('2024-05-03T08:05:00Z'),
    'tracks/tuesday.gpx': straightTrack('2024-05-03T08:35:00Z'),
    'weather/station.csv': STEADY_WEATHER,
    'runs.csv': 'track,setup,fuel_l\nmonday.gpx,bare,0.40\ntuesday.gpx,covered,0.38\n',
    'campaign.yaml': 'baseline: bare\nsetups:\n  bare: []\n  covered: [wheel covers]\n',
  })
}
