import type { z } from 'zod'
import { hypotenuse } from '../../base/arithmetic.ts'
import type { Outcome, Problem } from '../../base/problem.ts'
import { found } from '../../base/problem.ts'
import { kelvinFromCelsius } from '../../base/units.ts'
import { firstOfEach } from '../many.ts'
import { zoneOf } from '../time-zone.ts'
import { contradictions, problemsOf, valueAt } from './campaign-problems.ts'
import { type CampaignText, campaignSchema, type VehicleText } from './campaign-schema.ts'
import type { BatterySettings, Campaign, StationSettings, VehicleSettings } from './settings.ts'
import { readYaml, type YamlDocument } from './yaml-document.ts'

/** The campaign when no campaign.yaml says otherwise: a car in roughly open country, a margin of 1 %. */
export function defaultCampaign(): Campaign {
  return campaignOf({})
}

/**
 * Reads campaign.yaml into SI units. A key that cannot be used is reported with its line and column, and the default
 * holds in its place; only a file that is not YAML at all gives no value. Uncertainties are standard deviations.
 * A station without a position (only its anemometer's height, say) has NaN there, as has a height that is not stated.
 */
export function readCampaign(text: string): Outcome<Campaign> {
  const read = readYaml(text)
  if (read.value === null) return { value: null, problems: firstOfEach(read.problems, MOST_OF_A_KIND) }
  if (read.value.value === null || read.value.value === undefined) {
    const message = 'the file says nothing; the defaults are used'
    return found(defaultCampaign(), [...read.problems, { code: 'campaign-empty', severity: 'note', message }])
  }
  const checked = checkedText(read.value)
  const problems = [...read.problems, ...checked.problems, ...contradictions(checked.text, read.value)]
  const document = read.value
  const lineOf = (path: string[]): number => document.placeOfKey(path).line
  return found(campaignOf(checked.text, lineOf), firstOfEach(problems.toSorted(byPlace), MOST_OF_A_KIND))
}

const MOST_OF_A_KIND = 20

const byPlace = (a: Problem, b: Problem): number => (a.line ?? 0) - (b.line ?? 0) || (a.column ?? 0) - (b.column ?? 0)

function checkedText(document: YamlDocument): { text: CampaignText; problems: Problem[] } {
  let content: unknown = document.value
  const first = campaignSchema.safeParse(content)
  if (first.success) return { text: first.data, problems: [] }
  const problems = first.error.issues.slice(0, MOST_TOLD).flatMap((issue) => problemsOf(issue, content, document))
  // What is wrong is taken out, piece by piece and then what no longer holds without it, until the rest is right.
  content = structuredClone(content)
  for (let round = 0; round < MAX_ROUNDS; round++) {
    const result = campaignSchema.safeParse(content)
    if (result.success) return { text: result.data, problems }
    for (const { path, keys } of deepestFirst(result.error.issues)) {
      for (const key of keys) removeAt(content, [...path, key])
      if (keys.length === 0) removeAt(content, valueAt(content, path) === undefined ? path.slice(0, -1) : path)
    }
  }
  return { text: {}, problems }
}

/** Each place is looked for in the whole file. */
const MOST_TOLD = 100

/** More rounds than the schema has levels do not help: then the file as a whole is of another kind. */
const MAX_ROUNDS = 8

function deepestFirst(issues: z.core.$ZodIssue[]): { path: PropertyKey[]; keys: string[] }[] {
  return issues
    .map((issue) => ({ path: issue.path, keys: issue.code === 'unrecognized_keys' ? issue.keys : [] }))
    .reverse()
}

function removeAt(content: unknown, path: PropertyKey[]): void {
  if (path.length === 0) return
  const parent = valueAt(content, path.slice(0, -1))
  const last = path[path.length - 1]
  if (Array.isArray(parent)) parent.splice(Number(last), 1)
  else if (typeof parent === 'object' && parent !== null) Reflect.deleteProperty(parent, last)
}

/** Half-width of a gate where none is stated, m: the road's width and a receiver's error. */
export const USUAL_GATE_M = 50

/** Radius of a private place where none is stated, m: some hundred houses in a town. Common practice, no source. */
export const USUAL_PRIVATE_M = 500

function campaignOf(text: CampaignText, lineOf: (path: string[]) => number | null = () => null): Campaign {
  const { time_zone, fuel } = text
  return {
    title: text.title ?? null,
    timeZone: time_zone != null ? zoneOf(time_zone) : null,
    baseline: text.baseline ?? null,
    marginPct: text.margin_pct ?? 1,
    vehicleName: text.vehicle?.name ?? null,
    vehicle: vehicleOf(text.vehicle ?? {}),
    battery: { ...batteryOf(text.vehicle ?? {}), chargeSdKwh: fuel?.charge_repeatability_kwh ?? null },
    setups: Object.fromEntries(Object.entries(text.setups ?? {}).map(([name, parts]) => [name, parts ?? []])),
    fuel: {
      fillRepeatabilityLitres: fuel?.fill_repeatability_l ?? null,
      meterTolerancePct: fuel?.meter_tolerance_pct ?? null,
    },
    stations: Object.entries(text.stations ?? {}).map(([id, station]) => stationOf(id, station)),
    gates: Object.entries(text.gates ?? {}).map(([name, { lat, lon, radius_m }]) => ({
      name,
      line: lineOf(['gates', name]),
      latitude: lat,
      longitude: lon,
      radiusM: radius_m ?? USUAL_GATE_M,
    })),
    place: text.place ? { latitude: text.place.lat, longitude: text.place.lon } : null,
    privateEndsRadiusM: text.private_ends_radius_m ?? USUAL_PRIVATE_M,
    private: Object.entries(text.private ?? {}).map(([name, { lat, lon, radius_m }]) => ({
      name,
      latitude: lat,
      longitude: lon,
      radiusM: radius_m ?? USUAL_PRIVATE_M,
    })),
    coastDowns: Object.entries(text.coast_downs ?? {}).map(([name, { track, windows, heading_deg }]) => ({
      name,
      line: lineOf(['coast_downs', name]),
      track,
      windows: windows ?? null,
      headingDeg: heading_deg ?? null,
    })),
    exchangedPositions: {
      names: [text.exchanged_positions ?? []].flat(),
      line: text.exchanged_positions == null ? null : lineOf(['exchanged_positions']),
    },
    terrain: text.terrain ?? 'roughly_open',
    limits: text.limits ?? [],
  }
}

function stationOf(id: string, station: NonNullable<CampaignText['stations']>[string]): StationSettings {
  const placed = station.lat != null && station.lon != null
  return {
    id,
    latitude: placed ? (station.lat as number) : Number.NaN,
    longitude: placed ? (station.lon as number) : Number.NaN,
    elevationM: station.elevation_m ?? Number.NaN,
    anemometerHeightM: station.anemometer_height_m ?? Number.NaN,
  }
}

/** Of a value without its uncertainty: a stated one is taken to be known twice as well as the usual one. */
const USUAL_SD = { charging: 0.02, litres: 0.075 }

function batteryOf(vehicle: VehicleText): Omit<BatterySettings, 'chargeSdKwh'> {
  const { charging_efficiency: charging, fuel_l_per_battery_kwh: litres } = vehicle
  return {
    capacityKwh: vehicle.battery_capacity_kwh ?? null,
    capacitySdKwh: vehicle.battery_capacity_kwh_uncertainty ?? null,
    chargingEfficiency:
      charging == null ? null : { value: charging, sd: vehicle.charging_efficiency_uncertainty ?? USUAL_SD.charging },
    litresPerKwh:
      litres == null
        ? null
        : { value: litres, sd: vehicle.fuel_l_per_battery_kwh_uncertainty ?? USUAL_SD.litres * litres },
  }
}

function vehicleOf(vehicle: VehicleText): VehicleSettings {
  const coastDown = vehicle.coast_down
  return {
    class: vehicle.class ?? null,
    massKg: vehicle.mass_kg ?? null,
    massUncertaintyKg: vehicle.mass_kg_uncertainty ?? null,
    ...dragArea(vehicle),
    rollingResistance: vehicle.rolling_resistance ?? null,
    rollingResistanceUncertainty: vehicle.rolling_resistance_uncertainty ?? null,
    powertrain: vehicle.powertrain ?? null,
    referenceHeightM: vehicle.reference_height_m ?? null,
    coastDown: coastDown
      ? {
          aN: coastDown.a_n,
          bNPerMps: coastDown.b_n_per_mps,
          cNPerMps2: coastDown.c_n_per_mps2,
          referenceTemperatureK: kelvinFromCelsius(coastDown.reference_temperature_c),
          referenceDensityKgM3: coastDown.reference_density_kgm3,
          aSdN: coastDown.a_n_uncertainty ?? null,
          cSdNPerMps2: coastDown.c_n_per_mps2_uncertainty ?? null,
        }
      : null,
  }
}

/**
 * The drag area as given, or the product of frontal area and drag coefficient with relative uncertainties added in
 * quadrature (independent).
 * @source JCGM 100:2008, 5.1.6, equation 12
 */
function dragArea(vehicle: VehicleText): Pick<VehicleSettings, 'dragAreaM2' | 'dragAreaUncertaintyM2'> {
  const { frontal_area_m2: area, drag_coefficient: coefficient } = vehicle
  const stated = vehicle.drag_area_m2_uncertainty ?? null
  if (vehicle.drag_area_m2 != null || area == null || coefficient == null) {
    return { dragAreaM2: vehicle.drag_area_m2 ?? null, dragAreaUncertaintyM2: stated }
  }
  const [areaSd, coefficientSd] = [vehicle.frontal_area_m2_uncertainty, vehicle.drag_coefficient_uncertainty]
  const product = area * coefficient
  const relative = hypotenuse((areaSd ?? 0) / area, (coefficientSd ?? 0) / coefficient)
  const known = areaSd != null || coefficientSd != null
  return { dragAreaM2: product, dragAreaUncertaintyM2: stated ?? (known ? product * relative : null) }
}
