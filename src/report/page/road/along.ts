import { fixed } from '../../../base/figures.ts'
import type { Along } from '../../along-data.ts'
import type { Report } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'
import { clock, clockName } from '../times.ts'
import { amount, unitOf } from '../units.ts'
import { apparentWindPicture } from './apparent-wind.ts'
import { type PlottedRoad, type PlottedRun, plottedRoads } from './plotted-runs.ts'
import { mapLegend, type Projection, projectionOf, runMap } from './road-map.ts'
import { roadValuesBlock } from './road-values.ts'
import { roadStrips } from './strips.ts'
import { type WeatherScales, weatherFigure, weatherScales } from './weather.ts'

/** What runs met along the road and in time: maps, the air as met, aligned strips over the distance, the weather. */
export function alongSection(along: Along | null, report: Report): Markup | null {
  if (!along || along.runs.length === 0) return null
  const roads = plottedRoads(along, report).filter(({ runs }) => runs.length > 0)
  return html`<section aria-labelledby="along">
<h2 id="along">Along the road</h2>
<p>Lines are told apart by their dashes and by the drive’s number on them; the shaded range is that of all drives drawn. Figures are best estimates at the vehicle’s height; their uncertainty stands with the drives above. The predicted energy demand is averaged over ${fixed(100 * along.demandWindowShare, 0)} % of the road.${along.selection === null ? null : html` ${along.selection}`}</p>
${mapLegend()}${roads.map((plotted, i) => roadBlock(plotted, i, report))}</section>
`
}

function roadBlock(plotted: PlottedRoad, index: number, report: Report): Markup {
  const { road, runs } = plotted
  const projection = projectionOf(road)
  const scales = weatherScales(runs)
  const boxes = runs.map(
    ({ place, number, run, setup, stroke, shown }) =>
      html`<label><input type="checkbox" class="pick pick${place}" data-place="${place}"${shown ? html` checked=""` : null}/><svg aria-hidden="true" width="30" height="12"><path class="line s${stroke}" d="M1 6H29"/></svg> <span class="number">${number}</span> ${run}${setup === null ? null : html` <span class="against">${setup}</span>`}</label>`,
  )
  const figures = runs.map((run) => runFigure(run, plotted, projection, scales, report))
  return html`<div class="road-along" id="road-${index + 1}">
<h3>${road.id}, ${amount(road.lengthM, 'distance', 1)} ${unitOf('distance')}</h3>
<fieldset class="picker"><legend>Drives shown</legend>${boxes}</fieldset>
<div class="run-figures">${figures}</div>
${roadStrips(plotted)}${roadValuesBlock(plotted, projection)}<div class="reader script-only"><label for="place-${index + 1}">Place on the road</label><input id="place-${index + 1}" type="range" min="0" max="${road.cells - 1}" value="0" step="1"/><div class="reading" role="group" aria-label="Values at the place on ${road.id}"></div></div>
</div>
`
}

function runFigure(
  run: PlottedRun,
  { road }: PlottedRoad,
  projection: Projection,
  scales: WeatherScales,
  report: Report,
): Markup {
  const details = report.runs[run.number - 1]
  const { apparent } = run
  const met = apparent
    ? html`${apparentWindPicture(apparent)}<p class="small">Yaw of the air met by the vehicle, share of the distance. Mean air speed ${amount(apparent.meanAirspeedMps, 'speed', 0)} ${unitOf('speed')}, yaw below ${fixed(apparent.yawMedianDeg, 1)}° for half of the way, below ${fixed(apparent.yawNinetyDeg, 1)}° for nine tenths.</p>`
    : html`<p class="nothing">The air over the vehicle is not known.</p>`
  const wind = details.wind
  const headwind =
    wind.headwind_mps === null
      ? null
      : html`<p class="small">Mean headwind ${amount(wind.headwind_mps, 'wind', 1, { sign: true })}${wind.headwind_mps_sd === null ? null : html` ± ${amount(wind.headwind_mps_sd, 'wind', 1, { difference: true })}`} ${unitOf('wind')}.</p>`
  return html`<figure class="run-figure run${run.place}"><figcaption><span class="number">${run.number}</span> <strong>${run.run}</strong>${run.setup === null ? null : html`, ${run.setup}`}<br/><span class="against">${clock(run.startTime)} ${clockName()}</span></figcaption>
${runMap(road, run, projection)}${headwind}${met}${weatherFigure(run, scales, report.settings.time_zone)}</figure>
`
}
