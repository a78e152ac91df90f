import { readFileSync } from 'node:fs'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { ROOT } from '../cli/command.ts'
import { startReader } from '../report/browser.ts'

const text = readFileSync(join(ROOT, 'dist/ceteris.html'), 'utf8')

describe('the file of the page', () => {
  it('is smaller than 1.5 MB packed, and whole: it names no other file', () => {
    expect(gzipSync(text, { level: 9 }).length).toBeLessThan(1.5e6)
    expect(/<(?:script|img|iframe|link)\b[^>]*\b(?:src|href)=/.exec(text)?.[0]).toBeUndefined()
    const style = /<style>[^<]*<\/style>/.exec(text)?.[0]
    expect(style).not.toMatch(/@import|url\((?!["']?data:)/)
  })

  it('has a policy that lets nothing out, and the browser holds it to that', async () => {
    const [, policy] = /Content-Security-Policy" content="([^"]*)"/.exec(text)!
    expect(policy).toContain("default-src 'none'")
    expect(policy).toContain("connect-src 'none'")
    // No address of a network is allowed for anything, and no script but those named by their digests.
    expect(policy).not.toMatch(/https?:|ws:|\*|'self'|'unsafe-eval'|script-src[^;]*'unsafe-inline'/)
    let asked = 0
    const server = createServer((_, response) => {
      asked++
      response.end()
    }).listen(0, '127.0.0.1')
    await new Promise((resolve) => server.once('listening', resolve))
    const reader = await startReader()
    const { page, complaints } = await reader.open(text)
    expect(complaints).toEqual([])
    await page.evaluate(
      (address) => {
        const violated: string[] = []
        Object.assign(globalThis, { violated })
        document.addEventListener('securitypolicyviolation', ({ effectiveDirective: what }) => violated.push(what))
        fetch(address).catch(() => undefined)
        new Image().src = address
        const script = document.createElement('script')
        script.textContent = 'globalThis.hasRun = true'
        document.body.append(script)
      },
      `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    )
    await page.waitForFunction(() => (globalThis as unknown as { violated: string[] }).violated.length >= 3)
    const violated = await page.evaluate(() => (globalThis as unknown as { violated: string[] }).violated)
    expect(violated.sort()).toEqual(['connect-src', 'img-src', 'script-src-elem'])
    expect(await page.evaluate(() => 'hasRun' in globalThis)).toBe(false)
    expect(asked).toBe(0)
    await reader.close()
    server.close()
  })
})
