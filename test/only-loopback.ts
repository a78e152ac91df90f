import { Socket } from 'node:net'

/**
 * No test may reach another computer: whoever tries to connect to anything but this one gets an error. Put in place before
 * every test file (vitest.config.ts); programs that a test starts have their connections led to this computer by
 * CETERIS_LOOPBACK_PORT.
 */
const LOOPBACK = /^(localhost|127\.\d+\.\d+\.\d+|::1|::ffff:127\.\d+\.\d+\.\d+)$/

type Connect = (this: Socket, ...args: unknown[]) => Socket
const patched = Socket.prototype as unknown as { connect: Connect & { onlyLoopback?: boolean } }

if (!patched.connect.onlyLoopback) {
  const connect = patched.connect
  const guarded: Connect & { onlyLoopback?: boolean } = function (...args) {
    const [first] = args.flat()
    const options = (typeof first === 'object' && first !== null ? first : {}) as { host?: string; path?: string }
    const host =
      typeof first === 'object' ? (options.host ?? 'localhost') : typeof args[1] === 'string' ? args[1] : 'localhost'
    if (options.path === undefined && !LOOPBACK.test(host)) throw new Error(`a test tried to connect to ${host}`)
    return connect.apply(this, args)
  }
  guarded.onlyLoopback = true
  patched.connect = guarded
}
