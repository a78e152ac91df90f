import { QUANTITIES } from '../../base/quantities.ts'
import { standardDeviation } from '../../base/statistics.ts'
import { STANDARD_GRAVITY } from '../../base/units.ts'
import { CHARGE } from '../../claim/fuel/charge.ts'
import { MEASUREMENT_SD } from '../../claim/fuel/measure.ts'
import { REPEATABILITY_PRIOR } from '../../claim/model/repeatability.ts'
import { MOST_DRAWS, MOST_PLACES } from '../../compare/place-draws.ts'
import { CHANCE_OF_LONG_IDLING, LONGEST_IDLING_S } from '../../demand/engine.ts'
import { exposureSd } from '../../demand/exposure.ts'
import { FRICTION_SPEED_MPS, frictionAtN } from '../../demand/powertrains.ts'
import { TYRE_DAY_SD_K } from '../../demand/run-draws.ts'
import type { SharedDraws } from '../../demand/shared-draws.ts'
import type { Uncertain, Vehicle } from '../../demand/vehicle.ts'
import type { Campaign, Powertrain, TerrainClass } from '../../read/campaign/settings.ts'
import type { Report } from '../../report/contract.ts'
import { GAIN_SMOOTHING_M, GAIN_THRESHOLD_M } from '../../track/elevation.ts'

/** What every report carries with it. */
export const CAUTIONS = [
  'These are public roads: the driver drives. Nothing is read, noted or adjusted on the move; let a passenger do it, or stop.',
  'Parts that could come loose, hide lights or plates, or reduce ground clearance are subject to local rules and to inspection by licensed people before they go on a public road.',
  'The figures are estimates for comparing drives, not a certification. Where a certified figure is needed, local codes and accredited testing come first.',
]

type Assumption = Report['assumptions'][number]

/** A share as a percentage, without the last digits of binary arithmetic. */
const percent = (share: number): string => `${Number((100 * share).toFixed(2))} %`

const COMMON_PRACTICE = 'common practice, no source'
const STATED = `campaign.yaml, or the vehicle class (${COMMON_PRACTICE})`

/** What the comparison assumes, each with its size, its doubt and where it comes from. */
export const assumptionsOf = (
  vehicle: Vehicle,
  shared: SharedDraws,
  terrain: TerrainClass,
  { fuel, battery }: Pick<Campaign, 'fuel' | 'battery'>,
): Assumption[] => [
  ...ofClass(vehicle),
  ...ofBody(vehicle),
  ...ofTyres(vehicle),
  ...ofEngine(vehicle, shared),
  ...ofAccessories(vehicle),
  ofExposure(vehicle, shared, terrain),
  ...ofMethod(shared),
  ...(burnsFuel(vehicle.powertrain) ? [ofFills(fuel), WEIGHING, ofFuelBatches()] : []),
  ...(vehicle.powertrain.stores ? [ofCharges(battery)] : []),
  {
    name: 'run-to-run repeatability beyond all known errors',
    value: `${(100 * REPEATABILITY_PRIOR.sd).toFixed(1)} %`,
    uncertainty: `worth ${REPEATABILITY_PRIOR.degreesOfFreedom} degrees of freedom beside the repeats themselves`,
    source: `${COMMON_PRACTICE}; the repeats take over where there are many`,
    figures: null,
  },
]

const line = (name: string, { value, sd }: Uncertain, unit: string, digits: number, source: string): Assumption => ({
  name,
  value: `${value.toFixed(digits)}${unit}`,
  uncertainty: `± ${sd.toFixed(digits)}${unit}`,
  source,
  figures: null,
})

/** With its figures, so that the page can write it in other units. */
const measured = (name: string, { value, sd }: Uncertain, quantity: 'mass' | 'area', decimals: number): Assumption => ({
  ...line(name, { value, sd }, ` ${QUANTITIES[quantity].si.unit}`, decimals, STATED),
  figures: { quantity, decimals, value, sd },
})

const inPercent = ({ value, sd }: Uncertain): Uncertain => ({ value: 100 * value, sd: 100 * sd })

/** A probability in whole percent. */
const inWhole = (share: number): string => (share < 0.005 ? 'below 1 %' : `${Math.round(100 * share)} %`)

function ofClass(vehicle: Vehicle): Assumption[] {
  if (vehicle.classes.length === 0) return []
  return [
    {
      name: 'class of the vehicle',
      value: vehicle.class,
      uncertainty: vehicle.classes.map((one) => `${one.class} ${inWhole(one.probability)}`).join(', '),
      source: `how fast the drives go and pull away, and the fuel that they take, weigh the classes (${COMMON_PRACTICE}); class under vehicle in campaign.yaml makes the intervals narrower`,
      figures: null,
    },
  ]
}

const ofBody = ({ massKg, dragAreaM2, dragYawRise }: Vehicle): Assumption[] => [
  measured('vehicle mass', massKg, 'mass', 0),
  measured('drag area at zero yaw', dragAreaM2, 'area', 3),
  line('rise of drag at 10° of yaw', inPercent(dragYawRise), ' %', 0, COMMON_PRACTICE),
]

const ofTyres = ({ rollingResistance, rollingTemperaturePerK }: Vehicle): Assumption[] => [
  line('rolling resistance at 20 °C', rollingResistance, '', 4, STATED),
  line(
    'fall of rolling resistance per kelvin',
    inPercent(rollingTemperaturePerK),
    ' %',
    2,
    'UN GTR 15 Annex 4 for cars; UN R117 for tyres of vans and lorries (both from memory)',
  ),
  {
    name: 'sun on road and tyres, and their warming up',
    value: 'none',
    uncertainty: `as ± ${TYRE_DAY_SD_K} K of air temperature on the tyres, another each day`,
    source: COMMON_PRACTICE,
    figures: null,
  },
]

const ofEngine = ({ powertrain }: Vehicle, shared: SharedDraws): Assumption[] => [
  line(
    IDLING_WORDS[powertrain.kind] ?? `idling power of the ${powertrain.kind} powertrain`,
    { value: powertrain.idlePowerW.value, sd: standardDeviation(shared.idlePowerW) },
    ' W',
    0,
    `US DOE, Fact 861 for petrol (from memory); others ${COMMON_PRACTICE}`,
  ),
  ...(powertrain.kind === 'human' ? [] : [ofLongStands(powertrain)]),
  line(
    `friction of the engine along the road at ${FRICTION_SPEED_MPS} m/s, which idling makes up for where it is less; it grows with the speed`,
    {
      value: powertrain.frictionN,
      sd: standardDeviation(shared.frictionN.map((n, k) => n + FRICTION_SPEED_MPS * shared.frictionNPerMps[k])),
    },
    ' N',
    0,
    COMMON_PRACTICE,
  ),
]

/** What goes on in a stand where no engine idles; an engine that stops by itself at lights is said by `engine_off`. */
const IDLING_WORDS: Partial<Record<Powertrain, string>> = {
  electric: 'what electronics draw while the vehicle is switched on (no motor idles in a stand)',
  hybrid: 'what a hybrid draws while it is switched on (its engine stops in a stand)',
  human: 'what a rider takes in a stand',
}

function ofLongStands({ kind }: Vehicle['powertrain']): Assumption {
  const isElectric = kind === 'electric'
  return {
    name: `standing for more than ${LONGEST_IDLING_S / 60} minutes`,
    value: isElectric ? 'switched off' : 'engine off',
    uncertainty: `${isElectric ? 'stays on' : 'idles on'} with ${percent(CHANCE_OF_LONG_IDLING)} probability`,
    source: `${COMMON_PRACTICE}; engine_off in runs.csv says otherwise`,
    figures: null,
  }
}

/** Lighter vehicles have no heating. */
const LIGHT_KG = 400

/** No interval holds what nobody wrote down of it: so much it would be. */
function ofAccessories({ massKg, dragAreaM2, rollingResistance, powertrain }: Vehicle): Assumption[] {
  if (massKg.value < LIGHT_KG) return []
  const speedMps = 80 / 3.6
  const { efficiency, accessoryEfficiency, idlePowerW, frictionN } = powertrain
  const rollingN = massKg.value * STANDARD_GRAVITY * rollingResistance.value
  const wheelN = rollingN + 0.6 * dragAreaM2.value * speedMps * speedMps
  const neededW = (wheelN / efficiency + frictionAtN(frictionN, speedMps)) * speedMps + idlePowerW.value
  const share = 1000 / accessoryEfficiency / neededW
  return [
    {
      name: 'lights, heating and air conditioning where accessories_w is empty',
      value: 'the same in all drives',
      uncertainty: `in no interval: 1 kW more in one drive is ${Math.round(100 * share)} % of its demand at 80 km/h`,
      source: COMMON_PRACTICE,
      figures: null,
    },
  ]
}

const ofExposure = (
  { referenceHeightM }: Vehicle,
  { bestExposure, settings }: SharedDraws,
  terrain: TerrainClass,
): Assumption => ({
  name: 'wind at the vehicle over wind at 10 m',
  value: bestExposure.toFixed(2),
  uncertainty: `× or ÷ ${Math.exp(exposureSd(referenceHeightM, settings)).toFixed(2)}, of which a part is another for each direction of the wind and each place`,
  source: `log law up to 60 m over open land and down to ${referenceHeightM} m over ${terrain.replace('_', ' ')} land (WMO-No. 8); its uncertainty is ${COMMON_PRACTICE}`,
  figures: null,
})

const ofMethod = ({ settings }: SharedDraws): Assumption[] => [
  {
    name: 'elevation gain',
    value: `heights smoothed over ${GAIN_SMOOTHING_M} m, climbs below ${GAIN_THRESHOLD_M} m not counted`,
    uncertainty: 'depends on both: compare only figures made the same way',
    source: 'stated convention; no standard exists',
    figures: null,
  },
  {
    name: 'air density',
    value: 'CIPM-2007',
    uncertainty: 'that of the observations',
    source: 'Picard et al., Metrologia 45 (2008) 149',
    figures: null,
  },
  {
    name: 'intervals of the contributions',
    value: `from the first ${Math.min(MOST_DRAWS, settings.draws)} draws at ${MOST_PLACES} places of the road`,
    uncertainty: 'about a tenth of their width',
    source: 'held against all draws at all places',
    figures: null,
  },
]

const burnsFuel = ({ kind }: Vehicle['powertrain']): boolean => kind !== 'electric' && kind !== 'human'

/** Fuel of one day is taken as one fuel: with both setups on each day it cancels. */
const ofFuelBatches = (): Assumption => ({
  name: 'energy of the fuel of one day against that of another',
  value: 'the same',
  uncertainty: `± ${percent(MEASUREMENT_SD.batchEnergyPerLitre)} a litre, ± ${percent(MEASUREMENT_SD.batchEnergyPerKg)} a kilogram; drives of one day share it`,
  source: `${COMMON_PRACTICE}; within the densities that EN 228 and EN 590 allow (from memory)`,
  figures: null,
})

function ofFills({ fillRepeatabilityLitres: fillLitres }: Campaign['fuel']): Assumption {
  const sd = fillLitres ?? MEASUREMENT_SD.fillLitres
  return {
    name: 'one fill to the same level',
    value: `± ${sd} l`,
    uncertainty: 'one standard deviation',
    source: fillLitres === null ? COMMON_PRACTICE : 'campaign.yaml',
    figures: { quantity: 'volume', decimals: 2, value: null, sd },
  }
}

const WEIGHING: Assumption = {
  name: 'one weighing of a can or a tank',
  value: `± ${MEASUREMENT_SD.weighingKg} kg`,
  uncertainty: 'one standard deviation; a drive takes two',
  source: COMMON_PRACTICE,
  figures: null,
}

function ofCharges({ chargeSdKwh: sdKwh }: Campaign['battery']): Assumption {
  return {
    name: 'one charge to the same level',
    value: sdKwh === null ? `± ${100 * CHARGE.relativeSd} %` : `± ${sdKwh} kWh`,
    uncertainty: 'one standard deviation',
    source: sdKwh === null ? COMMON_PRACTICE : 'campaign.yaml',
    figures: null,
  }
}
