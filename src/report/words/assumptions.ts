import { figure, name, type Sentence, say } from '../../base/sentence.ts'
import type { Report } from '../contract.ts'

type Assumption = Report['assumptions'][number]

/** The value of an assumption: "2100 kg"; of one that has none of its own, how far it is off. */
export function assumedValue({ value, figures }: Assumption): Sentence {
  if (figures === null) return [name(value)]
  const { quantity, decimals } = figures
  return figures.value === null
    ? say`± ${figure(figures.sd, quantity, decimals, { difference: true })}`
    : [figure(figures.value, quantity, decimals)]
}

/** Its standard deviation, or what is said of it. */
export function assumedUncertainty({ uncertainty, figures }: Assumption): Sentence {
  if (figures === null || figures.value === null) return [name(uncertainty)]
  return say`± ${figure(figures.sd, figures.quantity, figures.decimals, { difference: true })}`
}
