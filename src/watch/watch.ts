import { readFile, realpath } from 'node:fs/promises'
import { availableParallelism } from 'node:os'
import { join, resolve } from 'node:path'
import { watch } from 'chokidar'
import { Tinypool } from 'tinypool'
import { jsonText } from '../base/json-text.ts'
import { cleaned } from '../base/names.ts'
import { plainText } from '../base/sentence.ts'
import { isFileError } from '../files/file-errors.ts'
import { resolvedPath } from '../files/places.ts'
import { programFile } from '../files/program.ts'
import { reportRefusal } from '../files/replaceable.ts'
import type { Report } from '../report/contract.ts'
import { glanceWords } from '../report/words/glance.ts'
import { DONE, type ExitCode, NOTHING_DONE } from '../shell/exit-codes.ts'
import { packageVersion } from '../shell/package-version.ts'
import { refuse, refuseProblem } from '../shell/refusal.ts'
import { folderRefusal } from '../work/campaign-folder.ts'
import { changedPaths, isForeign, type Snapshot, settled, snapshotOf } from './watch-files.ts'
import { startWatchServer, type WatchServer } from './watch-server.ts'
import { type WatchEvent, watchLine } from './watch-words.ts'

export interface WatchOptions {
  out?: string
  margin?: number
  draws: number
  seed: number
  port: number
  settle: number
  json?: boolean
}

interface Watching {
  root: string
  out: string
  options: WatchOptions
  server: WatchServer
  pool: Tinypool
  stop: AbortSignal
  say: (event: WatchEvent) => void
}

/** The command `watch`: runs until it is told to stop by a signal; a report that is being made is finished first. */
export async function watchFolder(folder: string, options: WatchOptions): Promise<ExitCode> {
  const refusal = await folderRefusal(resolve(folder), folder)
  if (refusal !== null) return refuse(refusal, options.json)
  const root = await realpath(resolve(folder))
  const out = resolvedPath(options.out ?? join(root, 'report'))
  const unwritable = reportRefusal(root, out)
  if (unwritable) return refuseProblem(unwritable, options.json)
  const server = await startWatchServer(out, options.port).catch((error: unknown) => {
    if (isFileError(error)) return error
    throw error
  })
  if (server instanceof Error)
    return refuse(`port ${options.port} cannot be used: ${portReason(server.code)}`, options.json)
  const stop = stopSignal()
  const pool = new Tinypool({
    filename: programFile('cli/watch-worker.js').href,
    minThreads: 1,
    maxThreads: 1,
  })
  const say = (event: WatchEvent): void => {
    process.stdout.write(options.json ? `${jsonText(event)}\n` : watchLine(event, new Date()))
  }
  let isThere = true
  try {
    isThere = await keepUpToDate({ root, out, options, server, pool, stop: stop.signal, say })
  } finally {
    stop.release()
    await pool.destroy()
    await server.close()
  }
  say(isThere ? { event: 'stopped' } : { event: 'gone', folder: root })
  return isThere ? DONE : NOTHING_DONE
}

const portReason = (code: string | undefined): string =>
  code === 'EADDRINUSE' ? 'another program listens there' : code === 'EACCES' ? 'no permission' : (code ?? 'unknown')

/** Aborted by the first signal to stop; a second one ends the process at once, as if nobody listened. */
function stopSignal(): { signal: AbortSignal; release: () => void } {
  const controller = new AbortController()
  const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const
  const release = (): void => {
    for (const name of signals) process.removeListener(name, stop)
  }
  const stop = (): void => {
    controller.abort()
    release()
  }
  for (const name of signals) process.on(name, stop)
  return { signal: controller.signal, release }
}

/** Until it is time to stop. @returns whether the folder is still there then */
async function keepUpToDate(watching: Watching): Promise<boolean> {
  const { root, out, options, stop, say } = watching
  const bell = newBell(stop)
  const watcher = watch(root, {
    ignored: (path) => isForeign(root, path, out),
    ignoreInitial: true,
    followSymlinks: false,
  })
  watcher.on('all', bell.ring)
  watcher.on('error', (error) => {
    process.stderr.write(`ceteris: the folder cannot be watched in full: ${cleaned(String(error))}\n`)
  })
  try {
    await new Promise<void>((ready) => {
      watcher.once('ready', ready)
    })
    say({ event: 'listening', address: watching.server.address, folder: root })
    let made: Snapshot | null = null
    while (!stop.aborted) {
      bell.mute()
      const files = await settled(
        () => snapshotOf(root, out),
        1000 * options.settle,
        stop,
        (names) => say({ event: 'waiting', files: names }),
      )
      if (files === null) return true
      if ((await folderRefusal(root, root)) !== null) return false
      const changed = changedPaths(root, made ?? new Map(), files)
      if (made === null || changed.length > 0) {
        if (files.size > 0) say({ event: 'making', files: changed.sort() })
        await makeReport(watching)
        made = files
      }
      await bell.heard()
    }
    return true
  } finally {
    await watcher.close()
  }
}

/** Rings for each thing that happens in the folder, and when it is time to stop. */
function newBell(stop: AbortSignal): { ring: () => void; mute: () => void; heard: () => Promise<void> } {
  let rung = false
  let wake: () => void = () => {}
  const ring = (): void => {
    rung = true
    wake()
  }
  stop.addEventListener('abort', ring)
  return {
    ring,
    mute: () => {
      rung = stop.aborted
    },
    heard: () =>
      new Promise((resolved) => {
        wake = resolved
        if (rung) resolved()
      }),
  }
}

async function makeReport({ root, out, options, server, pool, say }: Watching): Promise<void> {
  const { margin, draws, seed } = options
  const reportOptions = { out, margin, draws, seed, jobs: availableParallelism(), quiet: true }
  const exitCode: ExitCode = await pool.run({ folder: root, options: reportOptions, version: packageVersion() })
  // Why there is no report stands on stderr already.
  if (exitCode === NOTHING_DONE) return say({ event: 'no-report' })
  const report = JSON.parse(await readFile(join(out, 'report.json'), 'utf8')) as Report
  const errors = report.problems.filter(({ severity }) => severity === 'error').length
  server.announce()
  say({ event: 'report', runs: report.runs.length, errors, answer: plainText(glanceWords(report).compare.answer) })
}
