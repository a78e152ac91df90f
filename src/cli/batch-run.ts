import { resolve } from 'node:path'
import { present } from '../base/present.ts'
import { partsOfRuns } from '../campaign/drive/run-parts.ts'
import { RUN_RESULT } from '../campaign/kept/run-shape.ts'
import { motionsOf, withoutMotions } from '../campaign/load/drive-source.ts'
import { resultsOfPart } from '../campaign/run-campaign.ts'
import { fileRefusal, RECORDS, writeRecords } from '../files/own-file.ts'
import { gatherRecords } from '../files/record-files.ts'
import { recordLine } from '../records/batch-record.ts'
import { keyOf } from '../records/content-key.ts'
import { DONE, DONE_WITH_ERRORS, type ExitCode } from '../shell/exit-codes.ts'
import { refuse } from '../shell/refusal.ts'
import { maker } from '../store/cache.ts'
import { programName } from '../store/program-name.ts'
import { folderRefusal, sayProblem } from '../work/campaign-folder.ts'
import { workInMemory } from '../work/campaign-work.ts'
import { silent } from '../work/progress.ts'
import type { PartOptions } from './batch-options.ts'
import { assembled } from './batch-records.ts'
import { atLine, refuseRecords } from './batch-reduce.ts'

/** The command `batch run`: the records of all files in, those of a part of their runs out. */
export async function batchRun(sources: string[], options: PartOptions, version: string): Promise<ExitCode> {
  const root = options.root === undefined ? null : resolve(options.root)
  const wrong = root && (await folderRefusal(root, options.root ?? root))
  if (wrong) return refuse(wrong, false)
  const unwritable = options.out === undefined ? null : await fileRefusal(options.out, RECORDS, sources)
  if (unwritable) return refuse(unwritable, false)
  const madeBy = programName(version)
  const gathered = await gatherRecords(sources, madeBy)
  if (gathered.files.length === 0) return refuseRecords(gathered, false)
  const { mapped, tiles, problems } = await assembled(gathered.files, root)
  const settings = { marginPct: null, limits: options.limits ?? null, draws: options.draws, seed: options.seed }
  const work = workInMemory(motionsOf(mapped), { jobs: options.jobs, progress: silent })
  const made = new Map<string, { key: string; limits: string[] }>()
  const part = await resultsOfPart(
    mapped.map(withoutMotions),
    { files: tiles, unreadable: [], settings, version },
    {
      ...work,
      computeRuns: (setting, tasks) => {
        for (const [i, parts] of partsOfRuns(setting, tasks).entries()) {
          made.set(tasks[i].run.id, { key: keyOf(maker(madeBy), RUN_RESULT, parts), limits: setting.limits })
        }
        return work.computeRuns(setting, tasks)
      },
    },
    (place) => place % options.part.of === options.part.number - 1,
  )
  const errors = [...gathered.problems, ...problems].filter(({ severity }) => severity === 'error')
  for (const problem of errors) sayProblem(atLine(problem))
  if (part.runs === 0) return refuse('no record holds a track with times that could be used', false)
  const lines = async function* (): AsyncGenerator<string> {
    for (const result of part.results) {
      const { key, limits } = present(made.get(result.run.id))
      const asked = { draws: options.draws, seed: options.seed, limits }
      yield recordLine({ what: 'run', body: { key, run: result.run.id, settings: asked, result } }, madeBy)
    }
  }
  const unwritten = await writeRecords(lines(), options.out, sources)
  if (unwritten) return refuse(unwritten, false)
  return errors.length > 0 ? DONE_WITH_ERRORS : DONE
}
