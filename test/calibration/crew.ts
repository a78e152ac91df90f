import { createHash } from 'node:crypto'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { availableParallelism, tmpdir } from 'node:os'
import { join } from 'node:path'
import { rolldown } from 'rolldown'
import { Tinypool } from 'tinypool'
import judge, { type Judgements } from './judge.ts'
import { ASKED, CAMPAIGNS, KEPT, SEEDS } from './scores.ts'
import type { Task } from './simulate.ts'

/** Room for what a campaign makes and soon forgets, MB: with less a tenth of the time goes into clearing it away. */
const YOUNG_MB = 64

/** Judges campaigns on all cores where many were asked for, or else one after another here. */
export interface Crew {
  /** All campaigns of a case, in the order of their numbers. */
  judge<K extends Task['kind']>(kind: K, name: string, wantsShares?: boolean): Promise<Judgements[K][]>
  end(): Promise<void>
}

export async function startCrew(): Promise<Crew> {
  const { run, end } = ASKED ? await onAllCores() : oneByOne()
  return {
    judge: <K extends Task['kind']>(kind: K, name: string, wantsShares = false) => {
      const seeds = Array.from({ length: CAMPAIGNS }, (_, i) => `${SEEDS}/${name}/${i}`)
      const all = Promise.all(seeds.map((seed) => run({ kind, name, seed, wantsShares }))) as Promise<Judgements[K][]>
      // Cases are awaited one after another: that a later one failed is told when its turn comes.
      all.catch(() => {})
      return all
    },
    end,
  }
}

interface Hands {
  run: (task: Task) => Promise<Judgements[Task['kind']]>
  end: () => Promise<void>
}

function oneByOne(): Hands {
  let last: Promise<unknown> = Promise.resolve()
  return {
    run: (task) => {
      const mine = last.then(() => judge({ task, keptIn: null }))
      last = mine.catch(() => {})
      return mine
    },
    end: async () => {},
  }
}

/** Threads cannot read TypeScript: they get one file with everything in it. */
async function onAllCores(): Promise<Hands> {
  const dir = mkdtempSync(join(tmpdir(), 'calibration-'))
  writeFileSync(join(dir, 'judge.mjs'), await bundled('judge.ts'))
  const threads = availableParallelism()
  const pool = new Tinypool({
    filename: join(dir, 'judge.mjs'),
    minThreads: threads,
    maxThreads: threads,
    resourceLimits: { maxYoungGenerationSizeMb: YOUNG_MB },
  })
  const keptIn = KEPT
    ? join(
        KEPT,
        createHash('sha256')
          .update(await bundled('simulate.ts'))
          .digest('hex'),
      )
    : null
  return {
    run: (task) => pool.run({ task, keptIn }),
    end: async () => {
      await pool.destroy()
      rmSync(dir, { recursive: true })
    },
  }
}

async function bundled(name: string): Promise<string> {
  const bundle = await rolldown({ input: join(import.meta.dirname, name), platform: 'node', logLevel: 'warn' })
  const { output } = await bundle.generate({ codeSplitting: false })
  await bundle.close()
  return output[0].code
}
