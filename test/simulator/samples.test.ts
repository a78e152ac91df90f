import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { sampleFiles } from '../../samples/scenario.ts'

describe('the samples', () => {
  it('are what the generator writes, byte for byte', () => {
    const files = sampleFiles()
    expect(files.size).toBe(21)
    for (const [path, text] of files) {
      const onDisk = readFileSync(new URL(`../../samples/${path}`, import.meta.url), 'utf8')
      expect(onDisk === text, `${path} differs: run node samples/generate.mjs`).toBe(true)
    }
  })
})
