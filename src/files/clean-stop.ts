/**
 * Does work that Ctrl-C or a polite end may stop.
 * @param undo takes back what is half done
 * @param after what is told then
 */
export async function stoppingCleanly<T>(work: () => Promise<T>, undo: () => void, after: string): Promise<T> {
  const stop = (signal: NodeJS.Signals): void => {
    undo()
    process.stderr.write(`${process.stderr.isTTY ? '\r\u001b[K' : ''}ceteris: stopped; ${after}\n`)
    process.exit(signal === 'SIGINT' ? 130 : 143)
  }
  process.on('SIGINT', stop)
  process.on('SIGTERM', stop)
  try {
    return await work()
  } finally {
    process.off('SIGINT', stop)
    process.off('SIGTERM', stop)
  }
}
