import { plainText, say } from '../../base/sentence.ts'
import { motionsIn } from '../../campaign/load/drive-source.ts'
import { readInputs } from '../../campaign/load/inputs.ts'
import type { WholeFile } from '../../campaign/load/map-file.ts'
import { roadsOf } from '../../campaign/load/routes.ts'
import { NOTHING_SAID, runsOf } from '../../campaign/load/runs.ts'
import type { FieldSheet } from '../../plan/sheet.ts'
import type { Campaign } from '../../read/campaign/settings.ts'
import { lengthOf } from '../../report/words/plans/repeats.ts'
import { openFolder, sayProblem } from '../../work/campaign-folder.ts'

/** What a campaign's folder tells for the sheet. */
export interface KnownForSheet extends Pick<FieldSheet, 'title' | 'vehicle' | 'fuel' | 'road' | 'timeZone'> {
  /** The baseline first. */
  setups: string[]
  isElectric: boolean
  hasTracks: boolean
  errors: boolean
}

export const NOTHING_KNOWN: KnownForSheet = {
  title: null,
  vehicle: null,
  fuel: null,
  road: null,
  timeZone: null,
  setups: [],
  isElectric: false,
  hasTracks: false,
  errors: false,
}

/** Setups, vehicle, road and time zone of a folder; or why it cannot be read. Its errors are told on stderr. */
export async function knownOfFolder(folder: string): Promise<KnownForSheet | string> {
  const opened = await openFolder(folder)
  if (opened.refusal !== null) return opened.refusal
  const { mapped } = opened
  const { campaign, campaignFile, rows, problems } = await readInputs(mapped)
  const errors = [
    ...opened.problems,
    ...problems,
    ...mapped.flatMap((f) => f.problems.map((p) => ({ ...p, file: f.path }))),
  ].filter(({ severity }) => severity === 'error')
  for (const problem of errors) sayProblem(problem)
  const named = [campaign.baseline, ...Object.keys(campaign.setups), ...rows.map(({ setup }) => setup)]
  return {
    title: campaign.title,
    vehicle: campaignFile === null ? null : vehicleWords(campaign),
    fuel: null,
    road: busiestRoad(mapped, campaign),
    timeZone: campaign.timeZone,
    setups: [...new Set(named.filter((setup) => setup !== null))],
    isElectric: campaign.vehicle.powertrain === 'electric',
    hasTracks: mapped.some(({ tracks }) => tracks.some(({ drive }) => drive !== null)),
    errors: errors.length > 0,
  }
}

const vehicleWords = ({ vehicle: { class: kind, powertrain, massKg } }: Campaign): string =>
  [kind, powertrain, massKg === null ? null : `${massKg} kg`].filter((part) => part !== null).join(', ')

/** The road of most drives and its length; null where there is none. */
function busiestRoad(mapped: WholeFile[], { timeZone, gates }: Campaign): string | null {
  const { runs } = runsOf(mapped, { ...NOTHING_SAID, timeZone, gates }, motionsIn(mapped))
  if (runs.length === 0) return null
  const { contexts, names, routes } = roadsOf(runs)
  const counts = names.map((name) => contexts.filter((context) => context.name === name).length)
  const busiest = counts.indexOf(Math.max(...counts))
  return plainText(say`${names[busiest]}, ${lengthOf(routes[busiest].lengthM)}`)
}
