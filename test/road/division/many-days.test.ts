import { describe, expect, it } from 'vitest'
import { KINDS_OF_DAYS, manyDays } from '../../simulator/many-days.ts'
import { type Score, scored } from './scores.ts'

/** `npm run test:days` tries some two hundred and prints what it finds; otherwise one of each kind, sampled in turn. */
const ASKED = Number(process.env.CETERIS_DAYS ?? 0)
const NUMBERS =
  ASKED > 0 ? Array.from({ length: ASKED }, (_, n) => n) : KINDS_OF_DAYS.map((_, i) => i * (KINDS_OF_DAYS.length + 1))
/** Beyond this a fix's age alone is more than 50 m of road. */
const LONGEST_SAMPLE_S = 12

const quantile = (values: number[], share: number): number =>
  [...values].sort((a, b) => a - b)[Math.max(0, Math.ceil(share * values.length) - 1)]

function shown(what: string, scores: Score[]): string {
  const sum = (of: (s: Score) => number): number => scores.reduce((total, s) => total + of(s), 0)
  const ends = scores.flatMap((s) => s.endsM)
  const errors = scores.flatMap((s) => s.lengthErrors.map(Math.abs))
  const measured = scores.flatMap((s) => s.measuredErrors.map(Math.abs))
  const recall = sum((s) => s.right) / sum((s) => s.wanted)
  const precision = sum((s) => s.right) / sum((s) => s.found)
  const within = (values: number[], most: number): string =>
    `${((100 * values.filter((v) => v <= most).length) / values.length).toFixed(1)} %`
  return `${what}: ${sum((s) => s.wanted)} drives, recall ${recall.toFixed(3)}, precision ${precision.toFixed(3)}, ends within 50 m ${within(ends, 50)} (95 % within ${quantile(ends, 0.95).toFixed(0)} m, worst ${Math.max(...ends).toFixed(0)} m), lengths within 0.3 % ${within(errors, 0.003)} (95 % within ${(100 * quantile(errors, 0.95)).toFixed(2)} %), with the true ends ${within(measured, 0.003)} (${(100 * quantile(measured, 0.95)).toFixed(2)} %)`
}

describe('days of many kinds', () => {
  it('are divided into the drives that are in them', () => {
    const all: { kind: string; sampleS: number; score: Score }[] = []
    for (const n of NUMBERS) {
      const { kind, sampleS, days } = manyDays(n)
      const score = scored(days)
      all.push({ kind, sampleS, score })
      if (ASKED > 0) for (const fault of score.faults) console.log(`${n} ${kind}, ${sampleS} s: ${fault}`)
    }
    const of = (kept: (a: (typeof all)[number]) => boolean): Score[] => all.filter(kept).map(({ score }) => score)
    if (ASKED > 0) {
      const lines = KINDS_OF_DAYS.filter((kind) => all.some((a) => a.kind === kind)).map((kind) =>
        shown(
          kind,
          of((a) => a.kind === kind),
        ),
      )
      const samples = [...new Set(all.map(({ sampleS }) => sampleS))].sort((a, b) => a - b)
      console.log(
        [
          ...lines,
          ...samples.map((s) =>
            shown(
              `a fix every ${s} s`,
              of((a) => a.sampleS === s),
            ),
          ),
          shown(
            'all',
            of(() => true),
          ),
        ].join('\n'),
      )
    }
    const sum = (value: (s: Score) => number): number => all.reduce((total, { score }) => total + value(score), 0)
    expect(sum((s) => s.right) / sum((s) => s.wanted)).toBeGreaterThan(0.98)
    expect(sum((s) => s.right) / sum((s) => s.found)).toBeGreaterThan(0.98)
    // The goals of 50 m and 0.3 % hold for nine in ten and for half of the drives: where nobody rests at a road's ends,
    // in tunnels and on a lap of 400 m they are not met, see the printed table.
    const fine = of(({ sampleS }) => sampleS <= LONGEST_SAMPLE_S)
    expect(
      quantile(
        fine.flatMap((s) => s.endsM),
        0.9,
      ),
    ).toBeLessThan(50)
    expect(
      quantile(
        fine.flatMap((s) => s.lengthErrors.map(Math.abs)),
        0.5,
      ),
    ).toBeLessThan(0.003)
  })
})
