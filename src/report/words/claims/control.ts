import { joined, listing, name, type Sentence, say } from '../../../base/sentence.ts'
import { isByControl, type WithControl } from '../../by-control.ts'
import { plural } from '../../words.ts'
import { changeWords } from './changes.ts'

type Control = NonNullable<WithControl['control']>

/** How the figures of a claim were made comparable, as a part of a sentence. */
export function correctedBy(claim: WithControl): string {
  if (!isByControl(claim)) return 'corrected to equal conditions'
  return claim.control?.with_model_consumption_change_pct
    ? 'by the ratio to the control vehicle and the model'
    : 'by the ratio to the control vehicle'
}

/** "3 pairs against 7": what a claim by the control vehicle rests on. */
export const controlSides = ({ pairs, baseline_pairs }: Control): string =>
  `${plural(pairs.length, 'pair')} against ${baseline_pairs.length}`

/** What the control vehicle says, and whether it and the model agree. */
export function controlWords(control: Control): Sentence {
  const { test_vehicle: test, control_vehicle: other, ratio_consumption_change_pct: ratio } = control
  const measured = say`Measured as the ratio of ${test === null ? 'the test vehicle' : name(test)} to the control vehicle${other === null ? null : say` ${name(other)}`}, which was not changed and driven at the same time: ${controlSides(control)} with the baseline.`
  return joined([
    measured,
    ratio === null
      ? ' They are too few to see how the ratio scatters.'
      : ` By the ratio alone, consumption changes by ${changeWords(ratio)}.`,
    withModelWords(control),
  ])
}

function withModelWords(control: Control): Sentence {
  const { with_model_consumption_change_pct: both, model_consumption_change_pct: model, agree } = control
  const others = [
    both && `by the ratio over the one that the model predicts for both drives by ${changeWords(both)}`,
    model && `by the model without the control vehicle by ${changeWords(model)}`,
  ].filter((words) => words !== null)
  return joined([
    others.length > 0 ? say` It changes ${listing(others)}.` : null,
    agree === false ? [' ', ...disagreementWords(control)] : null,
  ])
}

/** What the control vehicle and the model say apart; empty where they agree or one of them says nothing. */
export function disagreementWords({
  agree,
  control_change_pct: measured,
  modelled_control_change_pct: modelled,
}: Control): Sentence {
  if (agree !== false || measured === null || modelled === null) return []
  return [
    `The control vehicle and the model disagree on what conditions did: its own fuel changed by ${changeWords(measured)} between the baseline and the setup, and the model makes ${changeWords(modelled)} of the conditions. The claim goes by the control vehicle; find out what the model does not know.`,
  ]
}
