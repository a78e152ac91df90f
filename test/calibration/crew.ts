import { mkdtempSync, rmSync } from 'node:fs'
import { availableParallelism, tmpdir } from 'node:os'
import { join } from 'node:path'
import { rolldown } from 'rolldown'
import { Tinypool } from 'tinypool'
import judge, { type Judgements, type Task } from './judge.ts'
import { ASKED, CAMPAIGNS, SEEDS } from './scores.ts'

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
    judge: <K extends Task['kind']>(kind: K, name: string, wantsShares?: boolean) => {
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
      const mine = last.then(() => judge(task))
      last = mine.catch(() => {})
      return mine
    },
    end: async () => {},
  }
}

/** Threads cannot read TypeScript: they get one file with everything in it. */
async function onAllCores(): Promise<Hands> {
  const dir = mkdtempSync(join(tmpdir(), 'calibration-'))
  const bundle = await rolldown({ input: join(import.meta.dirname, 'judge.ts'), platform: 'node', logLevel: 'warn' })
  await bundle.write({ dir, entryFileNames: 'judge.mjs', codeSplitting: false })
  await bundle.close()
  const threads = availableParallelism()
  const pool = new Tinypool({
    filename: join(dir, 'judge.mjs'),
    minThreads: threads,
    maxThreads: threads,
    resourceLimits: { maxYoungGenerationSizeMb: YOUNG_MB },
  })
  return {
    run: (task) => pool.run(task),
    end: async () => {
      await pool.destroy()
      rmSync(dir, { recursive: true })
    },
  }
}
