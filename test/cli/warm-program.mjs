import { parentPort } from 'node:worker_threads'

/**
 * The built program in a thread that stays: of a call the start of a process and the first run of its code are three
 * quarters of the time. Each call has its own arguments and environment; what it writes and its exit code go back.
 */
const { main } = await import('../../dist/cli/main.js')

/** One call after another: each has the streams and the environment to itself. */
let last = Promise.resolve()
parentPort.on('message', (call) => {
  last = last.then(() => answered(call))
})

async function answered({ words, env, signal, port }) {
  const written = { stdout: '', stderr: '' }
  for (const name of ['stdout', 'stderr']) {
    process[name].write = (chunk, encoding, done) => {
      written[name] += typeof chunk === 'string' ? chunk : Buffer.from(chunk).toString()
      const callback = typeof encoding === 'function' ? encoding : done
      callback?.()
      return true
    }
  }
  for (const name of Object.keys(process.env)) if (!Object.hasOwn(env, name)) delete process.env[name]
  Object.assign(process.env, env)
  process.exitCode = undefined
  const answer = (status) => {
    port.postMessage({ status, ...written })
    Atomics.store(signal, 0, 1)
    Atomics.notify(signal, 0)
  }
  const ended = (code) => answer(code)
  process.once('exit', ended)
  const fail = (error) => {
    written.stderr += String(error?.stack ?? error)
    process.off('exit', ended)
    answer(null)
  }
  process.once('uncaughtException', fail)
  await main(['node', 'ceteris', ...words]).then(() => {
    process.off('exit', ended)
    answer(process.exitCode ?? 0)
  }, fail)
  process.off('uncaughtException', fail)
  process.stdout.removeAllListeners('error')
}
