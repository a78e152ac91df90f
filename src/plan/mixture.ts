import { studentCdf } from '../base/student.ts'

/**
 * Quantile of a normal variable of mean 0 whose standard deviation is one of these, each as likely as the others.
 * @param share above 0.5
 */
export function mixtureQuantile(share: number, sds: ArrayLike<number>): number {
  const all = Array.from(sds)
  const below = (x: number): number =>
    all.reduce((sum, sd) => sum + studentCdf(x / sd, Number.POSITIVE_INFINITY), 0) / all.length
  let low = 0
  let high = Math.max(...all)
  while (below(high) < share) high *= 2
  for (let i = 0; i < 30; i++) {
    const middle = (low + high) / 2
    if (below(middle) < share) low = middle
    else high = middle
  }
  return (low + high) / 2
}
