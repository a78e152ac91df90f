/** What the model does not carry, of one run. */
export interface OutsideModel {
  /** True wet, false dry, null nobody says. */
  wet: boolean | null
  phase: 'day' | 'twilight' | 'night' | null
  payloadKg: number
  tyrePressurePa: number
  accessoriesW: number
  standingShare: number
  startTime: number
  endTime: number
}

const WET_GROUP = /^(?:[-+]|RE)?(?:SH|TS|FZ|DR|BL)*(?:RA|DZ|SN|SG|PL|GR|GS|IC|UP)+/

/** Whether a run's road was wet, from what was reported; null when nothing was. */
export function wetness(
  roadWet: number,
  precipitationMm: number,
  presentWeather: string[],
  observed: boolean,
): boolean | null {
  if (roadWet === 1) return true
  if (precipitationMm >= 0.2) return true
  if (presentWeather.some((groups) => groups.split(/\s+/).some((g) => WET_GROUP.test(g)))) return true
  if (roadWet === 0 || precipitationMm >= 0 || observed) return false
  return null
}

/** The difference that forbids a comparison whatever the figures say, or null. */
export function forbidding(a: OutsideModel, b: OutsideModel): string | null {
  if (a.wet !== null && b.wet !== null && a.wet !== b.wet) return 'one road was wet and the other dry'
  return null
}

/** Differences between two runs that the model does not carry, one sentence each. */
export function remarksOn(a: OutsideModel, b: OutsideModel): string[] {
  const remarks: string[] = []
  if (a.wet && b.wet)
    remarks.push('Both roads were wet: water on the road adds rolling resistance that is not in the model.')
  if (a.wet === null || b.wet === null) remarks.push('Nobody says whether the road was wet or dry.')
  if (a.phase && b.phase && a.phase !== b.phase) {
    remarks.push(
      `One was driven by ${a.phase}, the other by ${b.phase}: lights and a sun-warmed road are not in the model.`,
    )
  }
  if (differs(a.tyrePressurePa, b.tyrePressurePa, 5000)) {
    remarks.push(
      `Tyre pressures differ: ${bar(a.tyrePressurePa)} and ${bar(b.tyrePressurePa)} bar. Rolling resistance changes with them.`,
    )
  }
  if (differs(a.accessoriesW, b.accessoriesW, 50)) {
    remarks.push(`Accessories differ: ${a.accessoriesW} W and ${b.accessoriesW} W.`)
  }
  if (differs(a.payloadKg, b.payloadKg, 20)) {
    remarks.push(`Payloads differ: ${a.payloadKg} kg and ${b.payloadKg} kg. The model carries this, as mass.`)
  }
  if (differs(a.standingShare, b.standingShare, 0.05)) {
    remarks.push(
      `Traffic differs: ${percent(a.standingShare)} of the time standing and ${percent(b.standingShare)}. Stops weigh more than the model says when the engine is cold or stops by itself.`,
    )
  }
  if (a.startTime < b.endTime && b.startTime < a.endTime) remarks.push('The two recordings overlap in time.')
  return remarks
}

const differs = (x: number, y: number, by: number): boolean => Math.abs(x - y) > by
const bar = (pascals: number): string => (pascals / 1e5).toFixed(2)
const percent = (share: number): string => `${Math.round(100 * share)} %`
