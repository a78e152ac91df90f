import type { CampaignResult } from '../../campaign/campaign-result.ts'
import { reportTexts } from '../../campaign/report/report-texts.ts'
import { reduceCampaign } from '../../campaign/run-campaign.ts'
import { reportJson } from '../../report/json.ts'
import { type Doing, load } from './campaign-in-memory.ts'
import type { Progress } from './compute.ts'
import { helped } from './helpers.ts'
import { keptResults } from './kept-results.ts'
import type { Call, Failure, FromWorker, Results, Start, ToHelper, ToWorker } from './messages.ts'
import { outputFiles } from './output-files.ts'
import { recognise } from './recognise.ts'

/*
 * The script of all workers: of the one that computes, which is told so by its first message, and of its helpers. The
 * calls are done one after another.
 */
type Scope = {
  onmessage: ((event: MessageEvent<ToWorker | ToHelper>) => void) | null
  postMessage: (message: unknown, transfer?: ArrayBuffer[]) => void
}
const scope = globalThis as unknown as Scope

class Stopped extends Error {}
class Superseded extends Error {}

const PROGRESS_EVERY_MS = 250

scope.onmessage = ({ data }) => {
  if ('start' in data) scope.onmessage = computing(data.start)
  else if ('map' in data) helped(data).then(([answer, handedOver]) => scope.postMessage(answer, handedOver))
}

function computing({ script, version, threads }: Start): Scope['onmessage'] {
  const kept = keptResults()
  const stopped = new Set<number>()
  /** The last report, and the call that made it. */
  let last: { of: number; result: CampaignResult } | null = null
  let running: number | null = null
  let calls: Promise<unknown> = Promise.resolve()
  const answer = (message: FromWorker): void => scope.postMessage(message)

  const doingOf = (id: number): Doing => ({
    helping: { script, threads },
    kept,
    version,
    onProgress: seldom((progress) => answer({ id, progress })),
    pause: async () => {
      await nextTask()
      if (stopped.has(id)) throw new Stopped('stopped')
    },
  })

  async function done(id: number, asked: Call): Promise<Results[keyof Results]> {
    running = id
    const doing = doingOf(id)
    await doing.pause()
    if ('of' in asked) {
      if (last?.of !== asked.of) throw new Superseded('this report is no longer held: make it again')
      return asked.call === 'page' ? reportTexts(last.result)['index.html'] : outputFiles(last.result, doing)
    }
    kept.begin()
    const loaded = await load(asked.given, doing)
    if (asked.call === 'recognise') return recognise(loaded)
    last = null
    last = { of: id, result: await reduceCampaign(loaded.mapped, loaded.input, loaded.work) }
    return reportJson(last.result.report)
  }

  return ({ data }) => {
    if ('stop' in data) {
      stopped.add(data.stop)
      if (data.stop !== running) answer({ id: data.stop, failed: failureOf(new Stopped('stopped')) })
    }
    if (!('asked' in data)) return
    const { id, asked } = data
    calls = calls
      .then(() => done(id, asked))
      .then((result) => answer({ id, result }))
      .catch((error) => answer({ id, failed: failureOf(error) }))
      .finally(() => stopped.delete(id))
  }
}

function failureOf(error: unknown): Failure {
  if (error instanceof Stopped) return { why: 'stopped', message: error.message }
  if (error instanceof Superseded) return { why: 'superseded', message: error.message }
  return { why: 'fault', message: error instanceof Error ? (error.stack ?? error.message) : String(error) }
}

/** Lets messages through. A timer would wait for four milliseconds. */
const nextTask = (): Promise<void> =>
  new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel()
    port1.onmessage = () => {
      port1.close()
      resolve()
    }
    port2.postMessage(null)
  })

/** Tells of progress no more often than somebody can read it; of the begin and the end of a step always. */
function seldom(tell: (progress: Progress) => void): (progress: Progress) => void {
  let toldMs = Number.NEGATIVE_INFINITY
  return (progress) => {
    const now = performance.now()
    if (progress.done > 0 && progress.done < progress.total && now - toldMs < PROGRESS_EVERY_MS) return
    toldMs = now
    tell(progress)
  }
}
