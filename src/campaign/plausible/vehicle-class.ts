import type { Problem } from '../../base/problem.ts'
import { classOf } from '../../demand/vehicle.ts'
import type { VehicleSettings } from '../../read/campaign/settings.ts'

/** A stated class that mass or drag area contradict: what is not stated is then that of the class they fit. */
export function classProblems(settings: VehicleSettings, campaignFile: string | null): Problem[] {
  const taken = classOf(settings)
  if (settings.class === null || settings.class === taken) return []
  const { massKg, dragAreaM2 } = settings
  const figures = [massKg === null ? [] : `mass_kg ${massKg}`, dragAreaM2 === null ? [] : `drag_area_m2 ${dragAreaM2}`]
  const stated = figures.flat().join(' and ') || 'coast_down'
  return [
    {
      code: 'vehicle-class-doubtful',
      severity: 'warning',
      ...(campaignFile ? { file: campaignFile } : {}),
      message: `the class is ${settings.class}, but ${stated} are those of the class ${taken}: what is not stated is taken from ${taken}`,
      hint: `Write class: ${taken} under vehicle: in campaign.yaml, or correct the figures.`,
    },
  ]
}
