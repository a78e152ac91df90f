import { fixed } from '../../../base/figures.ts'
import { figure, plainText, type Sentence, say, span } from '../../../base/sentence.ts'
import type { Report } from '../../contract.ts'
import { plural } from '../../words.ts'

type CoastDown = NonNullable<Report['coast_down']>
type CoastDownFigures = Omit<CoastDown, 'sentence' | 'campaign_lines'>

/** What the coast-downs say, and whether the campaign may use it. */
export function coastDownWords(coast: CoastDownFigures): Sentence {
  const { f0_n: f0, f2_n_per_mps2: f2, windows, low_mps, high_mps } = coast
  const advice = isKnown(coast)
    ? ' The figures of this report do not rest on it unless campaign.yaml says so: the lines to paste stand below.'
    : ` It is not known well enough to be used: ${whyNot(coast)}.`
  return say`From ${plural(windows.length, 'coast-down')}, road load F = F0 + F2·V² with F0 = ${fixed(f0.estimate, 0)} N (95 % interval ${fixed(f0.low95, 0)} to ${fixed(f0.high95, 0)}) and F2 = ${fixed(f2.estimate, 4)} N/(m/s)² (${fixed(f2.low95, 4)} to ${fixed(f2.high95, 4)}), in calm air of ${figure(coast.reference_temperature_c, 'temperature', 0)} and ${figure(coast.reference_density_kgm3, 'density', 3)}, from ${span(low_mps, high_mps, 'speed', 0)}.${advice}`
}

const isKnown = ({ f0_n, f2_n_per_mps2, both_directions }: CoastDownFigures): boolean =>
  both_directions && f0_n.low95 > 0 && f2_n_per_mps2.low95 > 0

const whyNot = ({ both_directions }: CoastDownFigures): string =>
  both_directions
    ? 'an interval reaches below zero; coast from higher to lower speeds, and more often'
    : 'coast at least twice in each direction of one straight road, so that slope and wind can be told from the road load'

/** The sentence and the lines for campaign.yaml. */
export function coastDownLines(coast: CoastDownFigures): Pick<CoastDown, 'sentence' | 'campaign_lines'> {
  const sd = ({ low95, high95 }: CoastDown['f0_n']): number => (high95 - low95) / 2 / 1.959964
  const lines = [
    'vehicle:',
    '  coast_down:',
    `    a_n: ${coast.f0_n.estimate.toFixed(2)}`,
    '    b_n_per_mps: 0',
    `    c_n_per_mps2: ${coast.f2_n_per_mps2.estimate.toFixed(5)}`,
    `    a_n_uncertainty: ${sd(coast.f0_n).toFixed(2)}`,
    `    c_n_per_mps2_uncertainty: ${sd(coast.f2_n_per_mps2).toFixed(5)}`,
    `    reference_temperature_c: ${coast.reference_temperature_c.toFixed(1)}`,
    `    reference_density_kgm3: ${coast.reference_density_kgm3.toFixed(4)}`,
  ]
  return { sentence: plainText(coastDownWords(coast)), campaign_lines: isKnown(coast) ? lines : null }
}
