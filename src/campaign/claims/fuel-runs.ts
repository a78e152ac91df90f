import { present } from '../../base/present.ts'
import type { ClaimSettings, FuelRun, LeftOut } from '../../claim/types.ts'
import { powertrainOf } from '../../demand/vehicle.ts'
import type { Campaign } from '../../read/campaign/settings.ts'
import { usedAmount } from '../drive/logged-run.ts'
import type { KeptRecord } from '../drive/run-record.ts'
import { isLeftOut } from '../load/recordings/left-out.ts'
import { zoneOffsetS } from '../load/rows/stated-times.ts'
import { doubtfulSpell } from './wet-doubt.ts'
import type { WorthSettings } from './worth.ts'

export interface ClaimOptions {
  draws: number
  seed: number
  correctDrift: boolean
  poolRoutes: boolean
  /** null: not asked for. */
  worth: WorthSettings | null
  /** The drives move as no vehicle of the stated mass does; left out: not so. */
  isVehicleDoubtful?: boolean
  /** See `ClaimSettings`. */
  readingFactor?: number
}

export const claimSettings = (campaign: Campaign, options: ClaimOptions): ClaimSettings => ({
  setups: campaign.setups,
  baseline: campaign.baseline,
  fillRepeatabilityLitres: campaign.fuel.fillRepeatabilityLitres,
  meterTolerancePct: campaign.fuel.meterTolerancePct,
  powertrain: powertrainOf(campaign.vehicle),
  battery: campaign.battery,
  draws: options.draws,
  seed: options.seed,
  correctDrift: options.correctDrift,
  poolRoutes: options.poolRoutes,
  isVehicleDoubtful: options.isVehicleDoubtful ?? false,
  readingFactor: options.readingFactor ?? 1,
})

/** A drive as claims take it; its row must be known. */
export function fuelRun(
  record: KeptRecord,
  records: KeptRecord[],
  { baseline, timeZone }: Pick<Campaign, 'baseline' | 'timeZone'>,
): FuelRun {
  const { run, demand } = record
  const row = present(run.row)
  return {
    id: run.id,
    route: record.route,
    setup: row.setup,
    startTime: run.summary.startTime,
    endTime: run.summary.endTime,
    utcOffsetS: timeZone === null ? 0 : zoneOffsetS(run.summary.startTime, timeZone),
    distanceM: run.summary.distanceM,
    row,
    logged: { fuelLitres: usedAmount(record.logged?.fuel), energyKwh: usedAmount(record.logged?.energy) },
    demandDraws: demand?.drawsJPerM ?? null,
    drawnFrom: demand?.drawnFrom ?? [],
    nominalDemandJPerM: demand?.nominalJPerM ?? Number.NaN,
    nominalDragJPerM: demand?.nominalDragJPerM ?? Number.NaN,
    doubtfulSpell: doubtfulSpell(record),
    leftOut: reasonToLeaveOut(record, records, baseline),
  }
}

/** What keeps a run out of every claim: the user's word, another stretch of road, or a road wet where the baseline's was dry. */
function reasonToLeaveOut(record: KeptRecord, records: KeptRecord[], baseline: string | null): LeftOut | null {
  const { run, comparable } = record
  if (run.row?.exclude) return { code: 'stated', note: run.row.exclude }
  if (run.otherVehicle) return { code: 'other-vehicle' }
  if (comparable.relation === 'part') return { code: 'part' }
  if (comparable.relation === 'detour') return { code: 'detour' }
  const like = records.filter((r) => r.route === record.route && !isLeftOut(r.run))
  const ofBaseline = like.filter((r) => baseline !== null && r.run.row?.setup === baseline)
  const usual = usualWetness(ofBaseline.length > 0 ? ofBaseline : like)
  const { wet } = comparable.outside
  if (wet === null || usual === null || wet === usual) return null
  return { code: wet ? 'wet' : 'dry' }
}

/** Of most of the runs; dry where they are even, null where nobody says. */
function usualWetness(records: KeptRecord[]): boolean | null {
  const known = records.map((r) => r.comparable.outside.wet).filter((wet) => wet !== null)
  return known.length === 0 ? null : known.filter(Boolean).length > known.length / 2
}
