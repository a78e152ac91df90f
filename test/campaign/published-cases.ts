import { readFileSync } from 'node:fs'

export interface PublishedCase {
  name: string
  /** Share of the fuel, and half of its 95 % interval. */
  saved: number
  halfWidth: number
  /** Fuel of the test truck and of the control truck. */
  baseline: [number, number][]
  test: [number, number][]
}

/** The results that the testers published; see test/data/control-vehicle/SOURCE.md. */
export function publishedCases(): PublishedCase[] {
  const text = readFileSync(new URL('../data/control-vehicle/published.csv', import.meta.url), 'utf8')
  return text
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => {
      const [, name, saved, halfWidth, baseline, test] =
        /^(.+?),([\d.]+),([\d.]+),"\[(.+?)\]","\[(.+?)\]"/.exec(line) ?? []
      return {
        name,
        saved: Number(saved),
        halfWidth: Number(halfWidth),
        baseline: inTwos(baseline),
        test: inTwos(test),
      }
    })
}

function inTwos(list: string): [number, number][] {
  const values = list.split(', ').map(Number)
  return values.flatMap((value, i): [number, number][] => (i % 2 === 0 ? [[value, values[i + 1]]] : []))
}
