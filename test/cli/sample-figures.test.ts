import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { PROGRAM, ROOT } from './command.ts'

/** `npm run pictures` makes anew what is quoted and drawn; when a figure of the sample changes, these tests ask for it. */
const STALE = 'run npm run pictures'

let top = ''
let first = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-figures-'))
  const { stdout } = spawnSync(
    process.execPath,
    [
      PROGRAM,
      'report',
      join(ROOT, 'samples/ladder-van'),
      '--out',
      join(top, 'report'),
      '--cards',
      'none',
      '--no-cache',
    ],
    { encoding: 'utf8', env: { ...process.env, COLUMNS: '80', NO_COLOR: '1' } },
  )
  first = stdout.slice(0, stdout.indexOf('\n\nClaims\n'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

describe('what README and docs show of the sample', () => {
  it('is quoted in the README as the program prints it', () => {
    expect(first).toContain('Can I compare?')
    const readme = readFileSync(join(ROOT, 'README.md'), 'utf8')
    expect(readme.includes(`\`\`\`text\n${first}\n\`\`\``), STALE).toBe(true)
    const answer = first.slice(first.indexOf('\n\n') + 2).replace(/\s+/g, ' ')
    expect(readme.includes(`![First screen of a report. ${answer}](docs/report.png)`), STALE).toBe(true)
  })

  // PNG (ISO/IEC 15948), 5.3: chunks of a length, a type, data and a CRC; 11.3.3.4: the text behind the keyword and five zeros.
  it.each(['report.png', 'report-pairs.png', 'report-road.png'])('is in %s as it was drawn', (name) => {
    const png = readFileSync(join(ROOT, 'docs', name))
    expect(png.subarray(1, 4).toString('latin1')).toBe('PNG')
    let described = ''
    for (let at = 8; at < png.length; at += 12 + png.readUInt32BE(at)) {
      const data = png.subarray(at + 8, at + 8 + png.readUInt32BE(at))
      if (png.toString('latin1', at + 4, at + 8) === 'iTXt') described = data.toString('utf8')
    }
    expect(described === `Description\0\0\0\0\0${first}`, STALE).toBe(true)
  })
})
