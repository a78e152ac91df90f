import type { CDPSession, Page } from 'playwright-core'

/** What the engine says of one thread's heap. @source Chrome DevTools Protocol, Runtime.getHeapUsage */
interface HeapUsage {
  usedSize: number
  /** Of typed arrays and other buffers. */
  backingStorageSize: number
}

/**
 * Starts to watch a page and its workers.
 * @returns a function that gives what all of them hold, bytes, after what nobody holds any more was collected
 */
export async function watchHeap(page: Page): Promise<() => Promise<number>> {
  const session = await page.context().newCDPSession(page)
  const workers = await workersOf(session)
  return async () => {
    const used: HeapUsage[] = []
    await session.send('HeapProfiler.collectGarbage')
    used.push((await session.send('Runtime.getHeapUsage')) as HeapUsage)
    for (const ask of workers) {
      await ask('HeapProfiler.collectGarbage')
      used.push((await ask('Runtime.getHeapUsage')) as HeapUsage)
    }
    return used.reduce((sum, { usedSize, backingStorageSize }) => sum + usedSize + backingStorageSize, 0)
  }
}

type Ask = (method: string) => Promise<unknown>

/** One for each worker; what is sent to a worker goes through its page. */
async function workersOf(session: CDPSession): Promise<Ask[]> {
  const workers: Ask[] = []
  const waiting = new Map<number, (result: unknown) => void>()
  let count = 0
  session.on('Target.receivedMessageFromTarget', ({ message }) => {
    const { id, result } = JSON.parse(message)
    waiting.get(id)?.(result)
  })
  session.on('Target.attachedToTarget', ({ sessionId, targetInfo }) => {
    if (targetInfo.type !== 'worker') return
    workers.push((method) => {
      const id = ++count
      const answer = new Promise((resolve) => waiting.set(id, resolve))
      const asked = session.send('Target.sendMessageToTarget', { sessionId, message: JSON.stringify({ id, method }) })
      return asked.then(() => answer)
    })
  })
  await session.send('Target.setAutoAttach', { autoAttach: true, waitForDebuggerOnStart: false, flatten: false })
  return workers
}
