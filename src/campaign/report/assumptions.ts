import { QUANTITIES } from '../../base/quantities.ts'
import { standardDeviation } from '../../base/statistics.ts'
import { MEASUREMENT_SD } from '../../claim/fuel/measure.ts'
import { REPEATABILITY_PRIOR } from '../../claim/model/repeatability.ts'
import { MOST_DRAWS, MOST_PLACES } from '../../compare/place-draws.ts'
import { CHANCE_OF_LONG_IDLING, LONGEST_IDLING_S } from '../../demand/engine.ts'
import { exposureSd } from '../../demand/exposure.ts'
import { TYRE_DAY_SD_K } from '../../demand/run-draws.ts'
import type { SharedDraws } from '../../demand/shared-draws.ts'
import type { Uncertain, Vehicle } from '../../demand/vehicle.ts'
import { UNSTATED } from '../../demand/vehicle-classes.ts'
import type { TerrainClass } from '../../read/types.ts'
import type { Report } from '../../report/contract.ts'
import { GAIN_SMOOTHING_M, GAIN_THRESHOLD_M } from '../../track/elevation.ts'

/** What every report carries with it. */
export const CAUTIONS = [
  'These are public roads: the driver drives. Nothing is read, noted or adjusted on the move; let a passenger do it, or stop.',
  'Parts that could come loose, hide lights or plates, or reduce ground clearance are subject to local rules and to inspection by licensed people before they go on a public road.',
  'The figures are estimates for comparing drives, not a certification. Where a certified figure is needed, local codes and accredited testing come first.',
]

/** What the comparison assumes, each with its size, its doubt and where it comes from. */
export function assumptionsOf(
  vehicle: Vehicle,
  shared: SharedDraws,
  terrain: TerrainClass,
  fillLitres: number | null,
): Report['assumptions'] {
  const stated = 'campaign.yaml, or the vehicle class (common practice, no source)'
  const line = (name: string, u: Uncertain, unit: string, digits: number, source: string) => ({
    name,
    value: `${u.value.toFixed(digits)}${unit}`,
    uncertainty: `± ${u.sd.toFixed(digits)}${unit}`,
    source,
    figures: null,
  })
  const measured = (
    name: string,
    { value, sd }: Uncertain,
    quantity: 'mass' | 'area',
    decimals: number,
    source: string,
  ): Report['assumptions'][number] => ({
    ...line(name, { value, sd }, ` ${QUANTITIES[quantity].si.unit}`, decimals, source),
    figures: { quantity, decimals, value, sd },
  })
  const { powertrain } = vehicle
  const ofClass: Report['assumptions'] = vehicle.isClassDrawn
    ? [
        {
          name: 'class of the vehicle',
          value: vehicle.class,
          uncertainty: UNSTATED.map((one) => `${one.class} ${Math.round(100 * one.probability)} %`).join(', '),
          source: 'common practice, no source; class under vehicle in campaign.yaml makes the intervals narrower',
          figures: null,
        },
      ]
    : []
  return [
    ...ofClass,
    measured('vehicle mass', vehicle.massKg, 'mass', 0, stated),
    measured('drag area at zero yaw', vehicle.dragAreaM2, 'area', 3, stated),
    line(
      'rise of drag at 10° of yaw',
      { value: 100 * vehicle.dragYawRise.value, sd: 100 * vehicle.dragYawRise.sd },
      ' %',
      0,
      'common practice, no source',
    ),
    line('rolling resistance at 20 °C', vehicle.rollingResistance, '', 4, stated),
    line(
      'fall of rolling resistance per kelvin',
      { value: 100 * vehicle.rollingTemperaturePerK.value, sd: 100 * vehicle.rollingTemperaturePerK.sd },
      ' %',
      2,
      'UN GTR 15 Annex 4 for cars; UN R117 for tyres of vans and lorries (both from memory)',
    ),
    {
      name: 'sun on road and tyres, and their warming up',
      value: 'none',
      uncertainty: `as ± ${TYRE_DAY_SD_K} K of air temperature on the tyres, another each day`,
      source: 'common practice, no source',
      figures: null,
    },
    line(
      `idling power of the ${powertrain.kind} powertrain`,
      { value: powertrain.idlePowerW.value, sd: standardDeviation(shared.idlePowerW) },
      ' W',
      0,
      'US DOE, Fact 861 for petrol (from memory); others common practice, no source',
    ),
    {
      name: `standing for more than ${LONGEST_IDLING_S / 60} minutes`,
      value: 'engine off',
      uncertainty: `idles on with ${100 * CHANCE_OF_LONG_IDLING} % probability`,
      source: 'common practice, no source; engine_off in runs.csv says otherwise',
      figures: null,
    },
    line(
      'friction of the engine along the road, which idling makes up for where it is less',
      { value: powertrain.frictionN, sd: standardDeviation(shared.frictionN) },
      ' N',
      0,
      'common practice, no source',
    ),
    {
      name: 'wind at the vehicle over wind at 10 m',
      value: shared.bestExposure.toFixed(2),
      uncertainty: `× or ÷ ${Math.exp(exposureSd()).toFixed(2)}, of which a part is another for each direction of the wind and each place`,
      source: `log law up to 60 m over open land and down to ${vehicle.referenceHeightM} m over ${terrain.replace('_', ' ')} land (WMO-No. 8); its uncertainty is common practice, no source`,
      figures: null,
    },
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
      value: `from the first ${Math.min(MOST_DRAWS, shared.settings.draws)} draws at ${MOST_PLACES} places of the road`,
      uncertainty: 'about a tenth of their width',
      source: 'held against all draws at all places',
      figures: null,
    },
    {
      name: 'one fill to the same level',
      value: fillLitres === null ? `± ${MEASUREMENT_SD.fillLitres} l` : `± ${fillLitres} l`,
      uncertainty: 'one standard deviation',
      source: fillLitres === null ? 'common practice, no source' : 'campaign.yaml',
      figures: { quantity: 'volume', decimals: 2, value: null, sd: fillLitres ?? MEASUREMENT_SD.fillLitres },
    },
    {
      name: 'run-to-run repeatability beyond all known errors',
      value: `${(100 * REPEATABILITY_PRIOR.sd).toFixed(1)} %`,
      uncertainty: `worth ${REPEATABILITY_PRIOR.degreesOfFreedom} degrees of freedom beside the repeats themselves`,
      source: 'common practice, no source; the repeats take over where there are many',
      figures: null,
    },
  ]
}
