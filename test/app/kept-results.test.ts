import { expect, it } from 'vitest'
import { z } from 'zod'
import { keptResults } from '../../src/app/compute/kept-results.ts'

it('what a call made is there for the next three, or longer if they use it, and then is made again', () => {
  const kept = keptResults()
  const made: string[] = []
  const ask = (name: string): string =>
    kept.remember({ name: 'kind', shape: z.string() }, [name, Float64Array.of(1)], () => {
      made.push(name)
      return name
    })
  const call = (...names: string[]): void => {
    kept.begin()
    for (const name of names) expect(ask(name)).toBe(name)
  }
  call('a', 'b')
  call('a')
  call('a')
  call('a', 'b')
  expect(made).toEqual(['a', 'b'])
  for (let i = 0; i < 4; i++) call('a')
  call('a', 'b')
  expect(made).toEqual(['a', 'b', 'b'])
})
