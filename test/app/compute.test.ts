import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { folderFiles, inputFile } from '../campaign/folder.ts'
import { STEADY_WEATHER, straightTrack } from '../cli/command.ts'
import { corpus, HEAVY } from '../hostile/corpus.ts'
import { type ComputePage, type InPage, startComputePage } from './compute-page-reader.ts'
import { watchHeap } from './heap.ts'

let opened: ComputePage
beforeAll(async () => {
  opened = await startComputePage()
})
afterAll(() => opened.close())

/**
 * Every third case is tried, and the report's page opened in every second of these, and twelve edits;
 * `npm run test:hostile` tries all, and fifty.
 */
const [CASE_EVERY, PAGE_EVERY, EDITS] = process.env.CETERIS_HOSTILE === 'all' ? [1, 1, 50] : [3, 2, 12]

it('bad files give the same problems as anywhere, run no script, and leave the next call as it was', async () => {
  const cases = Object.values(corpus)
    .flat()
    .filter(({ what }) => !HEAVY.test(what))
  expect(cases.length).toBeGreaterThan(400)
  const beside = [inputFile('good.gpx', straightTrack('2024-05-03T08:10:00Z')), inputFile('good.csv', STEADY_WEATHER)]
  const wrong: string[] = []
  for (const [i, { what, path, make, code }] of cases.filter((_, n) => n % CASE_EVERY === 0).entries()) {
    await opened.send([...beside, inputFile(path, make())])
    const found = await opened.page.evaluate(
      async (isShown) => {
        const { compute, contents } = globalThis as unknown as InPage
        const files = Object.entries(contents).map(([name, content]) => ({ path: name, content }))
        const { report, page } = await compute.report({ files, settings: { draws: 50 } })
        if (isShown) {
          const frame = document.createElement('iframe')
          frame.srcdoc = await page()
          const loaded = new Promise((resolve) => frame.addEventListener('load', resolve))
          document.body.append(frame)
          await loaded
          frame.remove()
        }
        return {
          tracks: report.runs.map(({ track }) => track),
          codes: [...report.problems, ...report.runs.flatMap(({ flags }) => flags)].map((problem) => problem.code),
        }
      },
      i % PAGE_EVERY === 0,
    )
    if (!found.tracks.includes('good.gpx')) wrong.push(`${what}: the good drive is gone`)
    if (code !== null && !found.codes.includes(code)) wrong.push(`${what}: no ${code}`)
  }
  expect(wrong).toEqual([])
  expect(opened.complaints).toEqual([])
  expect(opened.requests()).toEqual([])
})

describe('calls', () => {
  beforeAll(() => opened.send(folderFiles('samples/ladder-van')))

  it('that are stopped reject at once with the reason, and the next one has its answer', async () => {
    const told = await opened.page.evaluate(async () => {
      const { compute, contents } = globalThis as unknown as InPage
      const given = { files: Object.entries(contents).map(([path, content]) => ({ path, content })) }
      const whyNot = (call: Promise<unknown>): Promise<string> =>
        call.then(
          () => 'an answer',
          (error: Error) => error.name,
        )
      const early = new AbortController()
      early.abort()
      const [first, second] = [new AbortController(), new AbortController()]
      const calls = [
        compute.report(given, undefined, early.signal),
        compute.report(given, () => first.abort(), first.signal),
        compute.report(given, undefined, second.signal),
        compute.recognise(given),
      ]
      second.abort()
      return Promise.all(calls.map(whyNot))
    })
    expect(told).toEqual(['AbortError', 'AbortError', 'AbortError', 'an answer'])
  })

  it('that hang are ended with their worker, those behind them are done by another, and so is one after a fault', async () => {
    const told = await opened.page.evaluate(async () => {
      const { startCompute } = globalThis as unknown as InPage
      // In place of the flow: hangs in a report, fails without files, and answers anything else.
      const script = `onmessage = ({ data: { id, asked } }) => {
        if (!asked) return
        if (asked.call === 'report') for (;;);
        if (asked.given.files.length === 0) throw new Error('a fault')
        postMessage({ id, result: 'an answer' })
      }`
      const compute = startCompute({ script: async () => new Blob([script]), version: '', threads: 1 })
      const given = { files: [{ path: 'a', content: new Blob(['a']) }] }
      const stopping = new AbortController()
      const hanging = compute.report(given, undefined, stopping.signal).catch((error: Error) => error.name)
      const behind = compute.recognise(given)
      stopping.abort()
      const failing = async () => compute.recognise({ files: [] }).catch((error: Error) => error.message)
      return [await hanging, await behind, await failing(), await compute.recognise(given)]
    })
    expect(told).toEqual(['AbortError', 'an answer', expect.stringContaining('a fault'), 'an answer'])
  })

  it('tell of their progress, and of a report only until the next one is made', async () => {
    const told = await opened.page.evaluate(async () => {
      const { compute, contents } = globalThis as unknown as InPage
      const given = { files: Object.entries(contents).map(([path, content]) => ({ path, content: content.slice() })) }
      const steps: string[] = []
      const first = await compute.report({ ...given, settings: { seed: 7 } }, ({ step, done, total }) => {
        steps.push(`${step}${done === total ? ', all' : ''}`)
      })
      const second = await compute.report(given)
      const late = await first.page().catch((error: Error & { why?: string }) => error.why)
      return { steps: [...new Set(steps)], late, page: (await second.page()).slice(0, 15) }
    })
    expect(told.steps).toEqual(expect.arrayContaining(['reading', 'reading, all', 'computing', 'computing, all']))
    expect(told).toMatchObject({ late: 'superseded', page: '<!doctype html>' })
  })

  it(`are ${EDITS} edits, and no more memory is held after the last one than after the sixth`, async () => {
    await opened.send(folderFiles('samples/ladder-van', (path) => !/04-(16|17|21|23)/.test(path)))
    const heldBytes = await watchHeap(opened.page)
    const after: number[] = []
    for (let i = 0; i < EDITS; i++) {
      await opened.page.evaluate(async (draws) => {
        const { compute, contents } = globalThis as unknown as InPage
        const settings = new Blob([await contents['campaign.yaml'].text(), `\n# ${draws}`])
        const files = Object.entries({ ...contents, 'campaign.yaml': settings })
        // With other draws no drive's result is what it was.
        await compute.report({ files: files.map(([path, content]) => ({ path, content })), settings: { draws } })
      }, 300 + i)
      after.push(await heldBytes())
    }
    // Results of the last three calls are kept. If all were, every edit would add a tenth, and twelve make it half as much again.
    expect(after.at(-1)).toBeLessThan(1.15 * after[5])
  })
})
