import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { crc32 } from 'node:zlib'
import chromium from '@sparticuz/chromium'
import { chromium as playwright } from 'playwright-core'
import { ROOT } from './bundle.mjs'

/**
 * Makes the pictures of the README and what it quotes anew, from the sample: `npm run pictures`. What the program prints
 * first is written into the README, and into each picture as its description, so that a test sees when one is old.
 */
const WIDTH = 1120
const PICTURES = [
  { name: 'report.png', from: 'main > header', to: 'main > section[aria-labelledby="answer"]' },
  { name: 'report-pairs.png', from: '.matrix', to: '.matrix' },
  { name: 'report-road.png', from: 'section[aria-labelledby="along"]', to: 'section[aria-labelledby="along"]', most: 1700 },
]
/** A calm drive and a windy one, side by side. */
const CONTRAST = ['2026-04-14-a', '2026-04-21']
const MARGIN = 12

const top = mkdtempSync(join(tmpdir(), 'ceteris-pictures-'))
const report = join(top, 'report')
try {
  const printed = execFileSync(
    process.execPath,
    [join(ROOT, 'bin/ceteris.js'), 'report', join(ROOT, 'samples/ladder-van'), '--out', report, '--no-cache'],
    { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'], env: { ...process.env, COLUMNS: '80', NO_COLOR: '1' } },
  )
  const first = printed.slice(0, printed.indexOf('\n\nClaims\n'))
  await draw(first)
  quote(first)
} finally {
  rmSync(top, { recursive: true, force: true })
}

/** The parts of the page, each a picture in docs/. */
async function draw(description) {
  const browser = await playwright.launch({
    executablePath: await chromium.executablePath(),
    args: chromium.args.filter((arg) => arg !== '--single-process' && arg !== '--no-zygote'),
    headless: true,
  })
  const page = await browser.newPage({ viewport: { width: WIDTH, height: 900 }, colorScheme: 'light', locale: 'en-US' })
  await page.goto(pathToFileURL(join(report, 'index.html')).href)
  const chosen = page.locator('fieldset:has(legend:text-is("Drives shown")) label')
  for (const label of await chosen.all()) {
    const text = await label.textContent()
    await label.locator('input').setChecked(CONTRAST.some((drive) => text.includes(drive)))
  }
  await page.evaluate(() => globalThis.scrollTo(0, 0))
  for (const { name, from, to, most = Number.POSITIVE_INFINITY } of PICTURES) {
    const [above, below] = await Promise.all([from, to].map((part) => page.locator(part).first().boundingBox()))
    const y = Math.max(0, above.y - MARGIN)
    const height = Math.min(most, below.y + below.height + MARGIN - y)
    const png = await page.screenshot({ fullPage: true, clip: { x: 0, y, width: WIDTH, height } })
    writeFileSync(join(ROOT, 'docs', name), withDescription(png, description))
  }
  await browser.close()
}

/**
 * A PNG with a text in it.
 * @source PNG (ISO/IEC 15948, third edition), 11.3.3.4 iTXt: keyword, 0, not compressed, no language, no translation, text
 */
function withDescription(png, text) {
  const body = Buffer.concat([Buffer.from('iTXtDescription\0\0\0\0\0', 'latin1'), Buffer.from(text, 'utf8')])
  const [length, check] = [Buffer.alloc(4), Buffer.alloc(4)]
  length.writeUInt32BE(body.length - 4)
  check.writeUInt32BE(crc32(body))
  // Behind the signature (8 bytes) and the header (25 bytes).
  return Buffer.concat([png.subarray(0, 33), length, body, check, png.subarray(33)])
}

/** The lines that the program prints first, and the alternative text of the first picture, in the README. */
function quote(first) {
  const path = join(ROOT, 'README.md')
  const answer = first.slice(first.indexOf('\n\n') + 2).replace(/\s+/g, ' ')
  writeFileSync(
    path,
    readFileSync(path, 'utf8')
      .replace(/!\[[^\]]*\]\(docs\/report\.png\)/, () => `![First screen of a report. ${answer}](docs/report.png)`)
      .replace(/(<!-- sample -->\n)[\s\S]*?(<!-- \/sample -->)/, (_, start, end) => `${start}\n\`\`\`text\n${first}\n\`\`\`\n\n${end}`),
  )
}
