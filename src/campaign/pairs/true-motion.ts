import { drawingOf } from '../../base/draws.ts'
import { type TrueMotion, trueMotion } from '../../compare/recorded-motion.ts'
import type { SharedDraws } from '../../demand/shared-draws.ts'
import type { Demand } from '../../demand/types.ts'
import { type KeptRecord, notYetDrawn } from '../drive/run-record.ts'
import { isLeftOut } from '../load/recordings/left-out.ts'

/**
 * Share of the doubt about a drive's true motion that all drives of one setup have in common: the same driver, logger and
 * season. Common practice, no source.
 */
const SHARE_WITHIN_SETUP = 0.25

/**
 * The records as drives of one road are compared: the part of each drive's demand that its recorded changes of speed make
 * is drawn towards that of the road's other drives as far as the recording's noise makes it doubtful, and what is left of
 * the doubt is drawn by drive, and by road. Sound recordings change little. Claims have a part of the doubt by setup.
 * @returns in `comparable` the draws for pairs, in `demand` those for claims
 */
export function withTrueMotion<T extends KeptRecord>(records: readonly T[], shared: SharedDraws): T[] {
  const out = [...records]
  for (const route of new Set(records.map((record) => record.route))) {
    const here = [...records.keys()].filter((i) => records[i].route === route && isJudged(records[i]))
    const motion = trueMotion(here.map((i) => records[i].kinetic))
    for (const [place, i] of here.entries()) out[i] = withFactors(records[i], motion, place, shared)
  }
  return out
}

/** Drives that are not compared, or left the road, say nothing of how it is driven; those without weather do. */
const isJudged = ({ run, comparable, kinetic }: KeptRecord): boolean =>
  !isLeftOut(run) && comparable.relation !== 'detour' && Number.isFinite(kinetic.log + kinetic.sd)

function withFactors<T extends KeptRecord>(record: T, motion: TrueMotion, i: number, shared: SharedDraws): T {
  const { comparable, demand, kinetic, recording } = record
  if (!demand) return record
  const names = new Set(demand.drawnFrom)
  const draw = drawingOf(shared.settings, names)
  const road = comparable.routeName
  const ofDrive = draw(`motion/${recording}`)
  const ofRoad = draw(`motion/${road}`)
  const ofSmoothing = draw('motion/smoothing')
  const ofSetup = draw(`motion/${road}/${record.run.row?.setup ?? ''}`)
  const shift = motion.log[i] - kinetic.log
  const sd = notYetDrawn(motion.sd[i], kinetic)
  const own = Math.sqrt(1 - SHARE_WITHIN_SETUP)
  const common = Math.sqrt(SHARE_WITHIN_SETUP)
  const times = kineticTimes(demand, shared)
  const drawn = (doubt: (k: number) => number): Float64Array =>
    demand.drawsJPerM.map((joules, k) => {
      const ofAll = motion.sharedSd[i] * ofRoad[k] + motion.commonSd[i] * ofSmoothing[k]
      return joules * Math.exp(times(k) * (shift + sd * doubt(k) + ofAll))
    })
  return {
    ...record,
    comparable: { ...comparable, draws: drawn((k) => ofDrive[k]) },
    demand: {
      ...demand,
      drawsJPerM: drawn((k) => own * ofDrive[k] + common * ofSetup[k]),
      drawnFrom: [...names],
    },
  }
}

/**
 * How many times as much the kinetic part counts in a draw as in the best estimate. Where the class is drawn, the same
 * change of speed takes as much for each kilogram, but of another demand: a lorry has less drag and friction for its mass.
 */
function kineticTimes(demand: Demand, { vehicle, massKg }: SharedDraws): (draw: number) => number {
  if (vehicle.classes.length === 0) return () => 1
  const perKg = demand.nominalJPerM / vehicle.massKg.value
  return (k) => (perKg * massKg[k]) / demand.drawsJPerM[k]
}
