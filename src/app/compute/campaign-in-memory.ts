import { byCodeUnits } from '../../base/arithmetic.ts'
import { sha256, toHex } from '../../base/platform.ts'
import { present } from '../../base/present.ts'
import type { Problem } from '../../base/problem.ts'
import type { CampaignInput, CampaignSettings, CampaignWork } from '../../campaign/campaign-input.ts'
import { partsOfRuns } from '../../campaign/drive/run-parts.ts'
import { type ReadySetting, readySetting, resultOf } from '../../campaign/drive/run-result.ts'
import { RUN_RESULT } from '../../campaign/kept/run-shape.ts'
import { drivesFrom, motionsIn, withoutMotions } from '../../campaign/load/drive-source.ts'
import { withExchanged } from '../../campaign/load/exchanged.ts'
import { onCampaignClock } from '../../campaign/load/log-clock.ts'
import type { InputFile, MappedFile, WholeFile } from '../../campaign/load/map-file.ts'
import { mapParts } from '../../campaign/load/map-parts.ts'
import type { OnProgress } from './compute.ts'
import { type Helping, mapAll } from './helpers.ts'
import type { KeptResults } from './kept-results.ts'
import { bytesOf, type MapJob } from './map-given.ts'
import type { SentFile, SentGiven } from './messages.ts'

/** What a call is done with: who helps, what is known, whom to tell, and where it can be stopped. */
export interface Doing {
  helping: Helping
  kept: KeptResults
  onProgress: OnProgress
  /** Lets messages through, and throws where the call was stopped. */
  pause: () => Promise<void>
  version: string
}

/** The files of a call after the map step, ready for the reduce step. */
export interface Loaded {
  mapped: MappedFile[]
  input: CampaignInput
  work: CampaignWork
}

const DEFAULTS: CampaignSettings = { marginPct: null, limits: null, draws: 400, seed: 1 }

/** Does the map step for what is not known, and takes the rest as it was. */
export async function load({ files, folderName, unreadable = [], settings }: SentGiven, doing: Doing): Promise<Loaded> {
  const sorted = [...files].sort((a, b) => byCodeUnits(a.path, b.path))
  const { whole: asRead, problems } = await mapStep(sorted, doing)
  const whole = onCampaignClock(await withExchanged(asRead, (path) => exchangedAgain(path, sorted, doing)))
  const kept = await tilesAmong(sorted, whole)
  return {
    mapped: whole.map(withoutMotions),
    input: {
      files: kept,
      unreadable: [...unreadable, ...problems],
      settings: { ...DEFAULTS, ...settings },
      version: doing.version,
      folderName,
    },
    work: workOn(whole, doing),
  }
}

/** The digest of a content by the number that stands for it, and what was read last under a path. */
const DIGEST = { name: 'digest' }
const DIGEST_AT = { name: 'digest at path' }
const MAPPED = { name: 'mapped parts' }

async function mapStep(
  files: SentFile[],
  { helping, kept, onProgress, pause }: Doing,
): Promise<{ whole: WholeFile[]; problems: Problem[] }> {
  const partsOf = (path: string, digest: string | null): WholeFile[] | null =>
    (digest !== null && kept.get<WholeFile[]>(kept.key(MAPPED, [digest, path]))) || null
  const digestOf = (kind: { name: string }, of: string | number): string | null =>
    kept.get<string>(kept.key(kind, [of])) ?? null
  const known = files.map(({ id, path }) => partsOf(path, digestOf(DIGEST, id)))
  const others = files.filter((_, i) => known[i] === null)
  const jobs = others.map(({ path, content }): MapJob => {
    const digest = digestOf(DIGEST_AT, path)
    return { path, content, known: partsOf(path, digest) && digest }
  })
  const total = jobs.reduce((sum, { content }) => sum + content.size, 0)
  let done = 0
  const advance = (bytes: number): void => {
    done += bytes
    onProgress({ step: 'reading', done, total })
  }
  advance(0)
  const found = await mapAll(jobs, helping, ({ content }) => advance(content.size), pause)
  const fresh = new Map<SentFile, WholeFile[]>()
  for (const [i, file] of others.entries()) {
    const { sha256, mapped } = found[i]
    if (sha256 === null) continue
    const parts = mapped ?? present(partsOf(file.path, sha256))
    kept.keep(kept.key(DIGEST, [file.id]), sha256)
    kept.keep(kept.key(DIGEST_AT, [file.path]), sha256)
    kept.keep(kept.key(MAPPED, [sha256, file.path]), parts)
    fresh.set(file, parts)
  }
  return {
    whole: files.flatMap((file, i) => known[i] ?? fresh.get(file) ?? []),
    problems: found.flatMap(({ problems }) => problems),
  }
}

/** A file with its positions exchanged, mapped here. */
async function exchangedAgain(path: string, files: SentFile[], { kept }: Doing): Promise<WholeFile[] | null> {
  const file = files.find((one) => one.path === path)
  const { bytes } = file ? await bytesOf(file) : { bytes: null }
  if (bytes === null) return null
  const digest = toHex(sha256(bytes))
  const key = kept.key(MAPPED, [digest, path, 'exchanged'])
  const parts = kept.get<WholeFile[]>(key) ?? (await mapParts({ path, bytes, sha256: digest, isExchanged: true }))
  kept.keep(key, parts)
  return parts
}

/** Elevation tiles, whose content is needed again once the roads are known. */
async function tilesAmong(files: SentFile[], whole: WholeFile[]): Promise<InputFile[]> {
  const digests = new Map(whole.filter(({ kind }) => kind === 'elevation').map(({ path, sha256 }) => [path, sha256]))
  const tiles: InputFile[] = []
  for (const file of files) {
    const sha256 = digests.get(file.path)
    const { bytes } = sha256 === undefined ? { bytes: null } : await bytesOf(file)
    if (sha256 !== undefined && bytes !== null) tiles.push({ path: file.path, bytes, sha256 })
  }
  return tiles
}

/** With all motions in memory; a run whose parts are as they were is not computed again. */
function workOn(whole: WholeFile[], { kept, onProgress, pause }: Doing): CampaignWork {
  const motions = motionsIn(whole)
  const drives = drivesFrom(motions)
  return {
    motions,
    remember: kept.remember,
    computeRuns: async (setting, tasks) => {
      const parts = partsOfRuns(setting, tasks)
      let ready: ReadySetting | null = null
      const results = []
      for (const [i, task] of tasks.entries()) {
        onProgress({ step: 'computing', done: i, total: tasks.length })
        await pause()
        results.push(
          kept.remember(RUN_RESULT, parts[i], () => {
            ready ??= readySetting(setting)
            return resultOf(task, drives(task.run), ready)
          }),
        )
      }
      onProgress({ step: 'computing', done: tasks.length, total: tasks.length })
      return results
    },
  }
}
