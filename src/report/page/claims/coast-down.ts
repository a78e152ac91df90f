import { fixed } from '../../../base/figures.ts'
import type { Report } from '../../contract.ts'
import { html, type Markup, scrolled } from '../../markup.ts'
import { coastDownWords } from '../../words/claims/coast-down.ts'
import { marked } from '../sentences.ts'
import { clock, clockName } from '../times.ts'
import { amount, unitOf } from '../units.ts'

/** The road load from coast-downs, with each of them; null without any. */
export function coastDownSection({ coast_down: coast }: Report): Markup | null {
  if (coast === null) return null
  const rows = coast.windows.map(
    (window) =>
      html`<tr><th scope="row">${window.track}</th><td>${clock(window.from, 'second')} to ${clock(window.to, 'second')} ${clockName()}</td><td class="figure">${window.heading_deg === null ? 'all' : `${fixed(window.heading_deg, 0)}°`}</td><td class="figure">${amount(window.from_mps, 'speed', 0)}</td><td class="figure">${amount(window.to_mps, 'speed', 0)}</td><td class="figure">${amount(window.wind_at_vehicle_mps, 'wind', 1)}</td><td class="figure">${fixed(window.residual_mps, 3)}</td></tr>\n`,
  )
  const lines =
    coast.campaign_lines === null
      ? null
      : html`<p>Lines for campaign.yaml:</p>
<pre>${coast.campaign_lines.join('\n')}</pre>
`
  return html`<section aria-labelledby="coast-downs">
<h2 id="coast-downs">Coast-downs</h2>
<p>${marked(coastDownWords(coast))}</p>
${lines}${scrolled(
  'Coast-downs',
  html`<table><caption>Coast-downs; residual: standard deviation of the recorded speed about the fitted one, m/s</caption>
<thead><tr><th scope="col">Log</th><th scope="col">Time</th><th scope="col" class="figure">Heading</th><th scope="col" class="figure">From, ${unitOf('speed')}</th><th scope="col" class="figure">To, ${unitOf('speed')}</th><th scope="col" class="figure">Wind at the vehicle, ${unitOf('wind')}</th><th scope="col" class="figure">Residual</th></tr></thead>
<tbody>${rows}</tbody></table>`,
)}</section>
`
}
