/** Tells somebody at a terminal how far the work has come. */
export interface Progress {
  begin(what: string, total: number, unit: 'bytes' | 'runs'): void
  advance(by: number): void
  end(): void
}

export const silent: Progress = { begin() {}, advance() {}, end() {} }

const REDRAW_MS = 200
/** Shorter work is over before anybody could read of it. */
const SHOW_AFTER_MS = 700

/** One line that is drawn over and over, with rate and time left, and removed at the end. For terminals only. */
export function progressOn(stream: NodeJS.WriteStream, now: () => number): Progress {
  let [what, unit, total, done, startMs, drawnMs] = ['', 'runs', 0, 0, 0, 0]
  let shown = false
  const draw = (): void => {
    stream.write(`\r\u001b[K${progressLine(what, done, total, unit as 'bytes' | 'runs', (now() - startMs) / 1000)}`)
    shown = true
    drawnMs = now()
  }
  const end = (): void => {
    if (shown) stream.write('\r\u001b[K')
    shown = false
  }
  return {
    begin(newWhat, newTotal, newUnit) {
      end()
      ;[what, unit, total, done, startMs, drawnMs] = [newWhat, newUnit, newTotal, 0, now(), now()]
    },
    advance(by) {
      done += by
      if (now() - startMs > SHOW_AFTER_MS && now() - drawnMs > REDRAW_MS) draw()
    },
    end,
  }
}

/** @param seconds since the work began */
export function progressLine(
  what: string,
  done: number,
  total: number,
  unit: 'bytes' | 'runs',
  seconds: number,
): string {
  const percent = Math.floor((100 * done) / Math.max(1, total))
  const rate = done / Math.max(0.001, seconds)
  // From less than a hundredth nobody can tell.
  const left = percent > 0 ? Math.ceil((total - done) / rate) : null
  const amount =
    unit === 'bytes' ? `${(rate / 2 ** 20).toFixed(1)} MB/s` : `${done} of ${total} drives, ${rate.toFixed(1)}/s`
  return `${what}: ${percent} %, ${amount}${left === null ? '' : `, ${timeInWords(left)} left`}`
}

function timeInWords(seconds: number): string {
  if (seconds < 90) return `${seconds} s`
  const minutes = Math.round(seconds / 60)
  return minutes < 90 ? `${minutes} min` : `${Math.round(minutes / 60)} h`
}
