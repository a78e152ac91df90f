import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { replaceableAt } from '../../src/files/replaceable.ts'
import { writeReport } from '../../src/files/write.ts'

let top = ''
beforeEach(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-test-'))
})
afterEach(() => rmSync(top, { recursive: true, force: true }))

/** Exchanges the folder at a place with another, again and again, with rests. */
const EXCHANGING = `
  const { renameSync, writeFileSync } = require('node:fs')
  const { workerData: top } = require('node:worker_threads')
  for (let rest = 0; rest < 4; rest++) {
    for (let i = 0; i < 1000; i++) {
      renameSync(top + '/report', top + (i % 2 ? '/b' : '/a'))
      renameSync(top + (i % 2 ? '/a' : '/b'), top + '/report')
      for (const begin = performance.now(); performance.now() < begin + 0.2; );
    }
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 40)
  }
  writeFileSync(top + '/ended', '')`

describe('looking through the place of a report', () => {
  it('takes nothing for changed or foreign while two whole reports exchange their places', async () => {
    const names = Array.from({ length: 20 }, (_, i) => `cards/${i}.svg`)
    const report = (text: string, more: string[]): Record<string, string> =>
      Object.fromEntries(['report.json', ...names, ...more].map((name) => [name, text]))
    await writeReport(join(top, 'report'), report('first', []))
    await writeReport(join(top, 'b'), report('second', ['cards/more.svg', 'points/a.csv']))
    for (const folder of ['report', 'b']) writeFileSync(join(top, folder, 'my-notes.md'), 'mine')
    const worker = new Worker(EXCHANGING, { eval: true, workerData: top })
    const ended = new Promise((resolve, reject) => worker.once('exit', resolve).once('error', reject))
    const answers: ReturnType<typeof replaceableAt>[] = []
    while (!existsSync(join(top, 'ended'))) answers.push(replaceableAt(join(top, 'report')))
    await ended
    for (const answer of answers) {
      if (answer === null || !('code' in answer)) expect([null, { others: ['my-notes.md'] }]).toContainEqual(answer)
      else expect(answer.code).toBe('out-busy')
    }
    expect(readFileSync(join(top, 'report/my-notes.md'), 'utf8')).toBe('mine')
  })
})
