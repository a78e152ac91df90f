import { fixed } from '../../../base/figures.ts'
import type { Problem } from '../../../base/problem.ts'
import { joined, listing, name, plainText, type Sentence, say } from '../../../base/sentence.ts'
import { ODOMETER_AGREES_WITHIN } from '../../../claim/fuel/consumption.ts'
import { type ClaimProblem, unitOfOdometer } from '../../../claim/problems.ts'
import type { ImpossibleFuel } from '../../../claim/types.ts'
import { plural } from '../../words.ts'

const UNIT_WORDS = { l: 'litres', kg: 'kilograms', kWh: 'kilowatt-hours' } as const
const MOST_TRACKS = 5

/** A fault of the ledger as a problem of the report, in SI: the tables that it is about are in SI, too. */
export function claimProblem(fault: ClaimProblem): Problem {
  const { code, severity, line, file } = fault
  const hint = hintFor(fault)
  return {
    code,
    severity,
    ...(line === undefined ? {} : { line }),
    ...(file === undefined ? {} : { file }),
    message: plainText(claimProblemWords(fault)),
    ...(hint === null ? {} : { hint: plainText(hint) }),
  }
}

/** What is wrong with the ledger, in a sentence without its full stop. */
export function claimProblemWords(fault: ClaimProblem): Sentence {
  switch (fault.code) {
    case 'impossible-consumption':
      return say`${name(fault.track)}: ${impossibleWords(fault)}; the drive is excluded from every claim`
    case 'setup-undefined':
      return say`the setup "${name(fault.setup)}" of ${plural(fault.runs, 'drive')} is not defined in campaign.yaml; defined are ${listing(fault.defined.map(name))}. It is taken as a setup of its own`
    case 'baseline-never-driven':
      return say`no drive has the setup "${name(fault.baseline)}", which is the baseline: nothing is claimed. Driven were ${listing(fault.driven.map(name))}`
    case 'setups-alike':
      return say`the setups ${listing(fault.setups.map((setup) => say`"${name(setup.name)}" (${plural(setup.runs, 'drive')})`))} are written alike but for spaces or signs; each is taken as a setup of its own`
    case 'baseline-assumed':
      return say`campaign.yaml names no baseline; "${name(fault.baseline)}", ${fault.by === 'driven-first' ? 'the setup driven first' : 'the only setup without parts'}, is taken`
    case 'fuel-without-setup': {
      const { length } = fault.tracks
      return joined([
        `${plural(length, 'drive')} with fuel or energy ${length === 1 ? 'has' : 'have'} no setup and ${length === 1 ? 'counts' : 'count'} for no claim: `,
        listing(fault.tracks.slice(0, MOST_TRACKS).map(name)),
        length > MOST_TRACKS ? ' and others' : null,
      ])
    }
    case 'mixed-fuel-units':
      return [
        `most drives have their consumption in ${UNIT_WORDS[fault.unit]}, ${plural(fault.runs, 'drive')} only in ${listing(fault.found.map((unit) => UNIT_WORDS[unit])).join('')}: expected one kind for all; ${fault.runs === 1 ? 'that drive counts' : 'those drives count'} for no claim`,
      ]
    case 'fuel-and-electricity':
      return [
        `${plural(fault.runs, 'drive')} used both fuel and electricity; the claims are about the ${UNIT_WORDS[fault.unit]} alone`,
      ]
    case 'odometer-off':
      return [
        `the odometer reads ${fixed(100 * Math.abs(fault.share), 1)} % ${fault.share > 0 ? 'more' : 'less'} than GPS in all drives alike; the GPS distance is used`,
      ]
    case 'odometer-disagrees':
      return say`${name(fault.track)}: the odometer's ${km(fault.odometerM)}${fault.corrected ? ', its usual error taken off,' : null} and GPS's ${km(fault.distanceM)} are ${fixed(100 * Math.abs(fault.share), 1)} % apart, expected at most ${100 * ODOMETER_AGREES_WITHIN} %; the GPS distance is used, with half of this as its uncertainty`
    case 'fill-chain-broken':
      return say`${name(fault.track)}: no fuel is given in the middle of the fill group "${name(fault.fillGroup)}", so the next fill may hold this drive's fuel too`
  }
}

/** What to do about it; null where the message says so itself. */
function hintFor(fault: ClaimProblem): Sentence | null {
  switch (fault.code) {
    case 'impossible-consumption':
      return ['Is the unit in the column name right, and does the fill belong to this drive alone?']
    case 'setup-undefined':
      return fault.near === null ? null : say`Did you mean ${name(fault.near)}?`
    case 'baseline-never-driven':
      return fault.near === null
        ? ['Write one of these after baseline: in campaign.yaml, or drive the baseline.']
        : say`Did you mean ${name(fault.near)}? Write it after baseline: in campaign.yaml.`
    case 'setups-alike':
      return ['If they are one setup, write its name in one way.']
    case 'baseline-assumed':
      return ['Write baseline: and the name of a setup.']
    case 'fuel-and-electricity':
      return ['A plug-in vehicle should begin and end each drive with the same charge.']
    case 'odometer-off':
      return odometerHint(fault.share, 'odometer')
    case 'odometer-disagrees':
      if (unitOfOdometer(fault.share) !== null) return odometerHint(fault.share, 'odometer')
      if (fault.odometerM > 10 * fault.distanceM) {
        return [
          'Is this the whole reading? Write the distance of this drive: the reading at its end less that at its begin.',
        ]
      }
      return fault.share > 0
        ? ['Was the logger started late or stopped early? What was used was used over the whole trip.']
        : null
    default:
      return null
  }
}

/** What a ratio near that of mile and kilometre says, with the line to write; null for any other. */
export function odometerHint(share: number, column: string): Sentence | null {
  const unit = unitOfOdometer(share)
  if (unit === null) return null
  const name = unit === 'miles' ? `${column}_mi` : `${column}_km`
  return [`These are probably ${unit}: a mile has 1.609 km. Name the column ${name}. Nothing was changed.`]
}

const km = (metres: number): string => `${fixed(metres / 1000, 1)} km`

/** "40.00 l for 10.0 km is 400.0 l per 100 km, expected 0.8 to 120": in SI, as the user wrote it. */
export function impossibleWords({ amount, unit, distanceM, per100Km, low, high, usual }: ImpossibleFuel): string {
  const expected = usual === null ? `${low} to ${high}` : `about ${fixed(usual, 1)} as in the other drives of this road`
  return `${fixed(amount, 2)} ${unit} for ${km(distanceM)} is ${fixed(per100Km, 1)} ${unit} per 100 km, expected ${expected}`
}
