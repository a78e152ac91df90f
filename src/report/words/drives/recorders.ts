import { joined, listing, name, percent, percentSpan, type Sentence, say } from '../../../base/sentence.ts'
import type { Report } from '../../contract.ts'

/** For each drive that several devices recorded: by which, and what the demand by each differs by from the leading one's. */
export function recorderSentences({ recorders, runs }: Pick<Report, 'recorders' | 'runs'>): Sentence[] {
  return runs.flatMap(({ id, track }): Sentence[] => {
    const others = recorders.filter(({ run, a }) => run === id && a === track)
    if (others.length === 0) return []
    const told = others.map(
      ({ b, difference_pct: { mean, low90, high90 } }) =>
        say`${name(b)} (it differs by ${percent(mean)}, 90 % interval ${percentSpan(low90, high90)})`,
    )
    return [
      joined([
        say`${name(id)} was also recorded by `,
        listing(told),
        say`; ${name(track)} is the one that is compared.`,
      ]),
    ]
  })
}
