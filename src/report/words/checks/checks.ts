import { fixed } from '../../../base/figures.ts'
import { figure, joined, type Sentence, say } from '../../../base/sentence.ts'
import { plural } from '../../words.ts'

/** What the costs of weaknesses are measured in; filled by check/. */
export interface MeasureFacts {
  of: 'claims' | 'pairs'
  count: number
  /** Mean width of the intervals, percentage points. */
  widthPoints: number
  /** Whether any of them exists only under an assumed air. */
  assumed: boolean
}

/**
 * What the points of the list mean.
 * @param unobserved the air assumed where nobody observed any, where some figure rests on it
 */
export function measureWords(
  { of, count, widthPoints, assumed }: MeasureFacts,
  unobserved: { windMps: number; temperatureSdK: number } | null,
): Sentence {
  const is = assumed ? 'would be' : 'is'
  const width = `${is} ${fixed(widthPoints, 1)} percentage points wide`
  const what =
    of === 'claims'
      ? `The 95 % interval of the corrected change ${width} (mean of ${plural(count, 'claim')}).`
      : `The 90 % interval of the difference in conditions between two drives ${width} (mean of ${plural(count, 'pair')}).`
  return joined([
    what,
    ' Points: by how much it would narrow if that one thing were put right completely, the most that can be gained. They do not add up; random draws move them by about 0.1.',
    unobserved &&
      say` Figures with ≈ are rough: where nothing was observed they assume a wind of ${figure(unobserved.windMps, 'wind', 0)} from any direction and the standard atmosphere’s temperature ± ${figure(unobserved.temperatureSdK, 'temperature', 0, { difference: true })}.`,
  ])
}
