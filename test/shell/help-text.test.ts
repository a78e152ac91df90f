import { spawnSync } from 'node:child_process'
import { describe, expect, it } from 'vitest'
import { widthOf } from '../../src/report/terminal/terminal-text.ts'
import { wrappedHelp } from '../../src/shell/help-text.ts'
import { columnsOf } from '../../src/shell/terminal-stream.ts'
import { ceterisIn } from '../cli/command.ts'

const COMMANDS = [
  [],
  ...['report', 'check', 'init', 'inspect', 'watch', 'weather', 'plan', 'batch', 'completion', 'manual'].map((name) => [
    name,
  ]),
  ...['repeats', 'windows', 'sheet'].map((name) => ['plan', name]),
  ...['map', 'run', 'reduce'].map((name) => ['batch', name]),
]

describe('help', () => {
  it.each([60, 80])('keeps to a width of %d for every command', (width) => {
    for (const words of COMMANDS) {
      const { stdout, status } = ceterisIn({ env: { ...process.env, COLUMNS: String(width) } }, ...words, '--help')
      expect({ words, status, broad: stdout.split('\n').filter((line) => widthOf(line) > width) }).toEqual({
        words,
        status: 0,
        broad: [],
      })
    }
  })

  it('breaks a command so that a POSIX shell runs it as one', () => {
    const words = ['echo', ...Array.from({ length: 30 }, (_, i) => `word-${i}`)]
    const help = wrappedHelp(`  $ ${words.join(' ')}`, 40)
    expect(help.split('\n').length).toBeGreaterThan(5)
    const { stdout } = spawnSync('sh', ['-c', help.replace('$ ', '')], { encoding: 'utf8' })
    expect(stdout).toBe(`${words.slice(1).join(' ')}\n`)
  })

  it('takes the width of the terminal, then that of COLUMNS', () => {
    const before = process.env.COLUMNS
    try {
      process.env.COLUMNS = '72'
      expect(columnsOf({ columns: 90 } as NodeJS.WriteStream)).toBe(90)
      expect(columnsOf({} as NodeJS.WriteStream)).toBe(72)
      process.env.COLUMNS = 'wide'
      expect(columnsOf({} as NodeJS.WriteStream)).toBe(100)
    } finally {
      if (before === undefined) delete process.env.COLUMNS
      else process.env.COLUMNS = before
    }
  })
})
