import type { ReaderPlace } from '../reader-place.ts'
import { allChosen } from './script-address.ts'

/** In a frame that keeps the reader's place for the next report: goes there, and tells of every other place. */
export function placeInFrame(): void {
  const { top, choices } = document.documentElement.dataset
  if (top === undefined || choices === undefined || parent === window) return
  const go = (): void => scrollTo(0, Number(top))
  // A frame that is not shown yet has no height to go down in.
  if (innerHeight > 0) go()
  else addEventListener('resize', go, { once: true })
  // A frame without an origin of its own is told only by the window that holds it.
  const tell = (): void => parent.postMessage({ top: scrollY, choices: allChosen() } satisfies ReaderPlace, '*')
  addEventListener('scroll', tell, { passive: true })
  document.addEventListener('chosen', tell)
}
