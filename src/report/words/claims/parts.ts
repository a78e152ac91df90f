import { signed } from '../../../base/figures.ts'
import { joined, listing, name, type Sentence, say } from '../../../base/sentence.ts'
import type { Report } from '../../contract.ts'
import { type Interval95, rangeWords } from './changes.ts'

type PartGroup = Report['part_groups'][number]

/** What the parts did, as far as the drives tell them apart: a sentence for each part, and one for each group. */
export function partSentences({
  runs,
  parts,
  part_groups,
}: Pick<Report, 'runs' | 'parts' | 'part_groups'>): Sentence[] {
  if (runs.length < 2) return []
  const fuels = runs.flatMap(({ consumption }) => consumption ?? [])
  const isMeasured = fuels.length > 0 && fuels.every((fuel) => fuel.adjusted_per_100_km === null)
  const measured = isMeasured ? ', not corrected' : ''
  const consumption = (change: Interval95, together = ''): string =>
    `${signed(change.estimate, 1)} % consumption${together} (95 % interval ${rangeWords(change)})${measured}`
  const single = parts
    .filter(({ inseparable_from }) => inseparable_from.length === 0)
    .map(({ part, consumption_change_pct: change }) =>
      change ? say`${name(part)}: ${consumption(change)}.` : say`${name(part)}: not known.`,
    )
  const groups = part_groups.map((group) => {
    const { combined_change_pct: change, exchanged, separating } = group
    if (exchanged) return exchangedWords(group)
    return joined([
      listing(group.parts.map(name)),
      change ? `: ${consumption(change, ' together')}; these` : ': these',
      ' drives do not separate them.',
      separating && say` To separate them: ${separatingWords(separating, exchanged)}.`,
    ])
  })
  return [...single, ...groups]
}

/** Of parts of which one was fitted in every drive, like tyres of two kinds. */
const exchangedWords = ({ parts, separating, exchanged }: PartGroup): Sentence =>
  joined([
    say`${listing(parts.map(name))}: one of them was fitted in every drive, so that only their difference is known, and the claim gives it.`,
    separating && say` Each by itself: ${separatingWords(separating, exchanged)}.`,
  ])

/** What keeps a part's effect from being known by itself, for a cell; empty where nothing does. */
export function partRemark({ inseparable_from, never_left_off }: Report['parts'][number]): Sentence {
  return joined([
    inseparable_from.length > 0 ? say`not separable from ${listing(inseparable_from.map(name))}` : null,
    inseparable_from.length > 0 && never_left_off ? '; ' : null,
    never_left_off ? 'never removed' : null,
  ])
}

/**
 * The one more drive that would separate parts, as the end of a sentence.
 * @param exchanged whether one of them was fitted in every drive, so that perhaps none can be left off
 */
export function separatingWords(
  { road, parts, setup, tells }: NonNullable<PartGroup['separating']>,
  exchanged: boolean,
): Sentence {
  const bare = exchanged ? 'none of them fitted, if the vehicle can be driven so,' : 'none of the parts fitted'
  const fitted = parts.length === 0 ? bare : say`only ${listing(parts.map(name))} fitted`
  const known = setup === null ? null : say` (the setup ${name(setup)})`
  return say`one drive on ${name(road)} with ${fitted}${known} would separate ${listing(tells.map(name))}`
}
