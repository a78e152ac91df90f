import { sha256, toBase64 } from '../../base/platform.ts'
import type { Along } from '../along-data.ts'
import type { Report } from '../contract.ts'
import { marginsFor } from '../margin/margins.ts'
import { escaped, html } from '../markup.ts'
import { UNTITLED } from '../words.ts'
import { answerSection, factsSection, headSection, stepsSection } from './answer.ts'
import { claimsSection } from './claims/claims.ts'
import { coastDownSection } from './claims/coast-down.ts'
import { consumptionSection } from './claims/consumption.ts'
import { lapsSection } from './claims/laps.ts'
import { stintsSection } from './claims/stints.ts'
import { leftOutOnPaper, toolbar } from './contents.ts'
import { drivesSection } from './drives/drives.ts'
import { limitsSection } from './drives/limits.ts'
import { loggedSection } from './drives/logged.ts'
import { photosSection, type Thumbnails } from './drives/photos.ts'
import { recordingsSection } from './drives/recordings.ts'
import { runsSection } from './drives/runs.ts'
import { marginBlock } from './margin/margin-block.ts'
import type { PairBetween } from './pairs/matrix-cells.ts'
import { canChooseMargin, pairsSection, type ScoresAt } from './pairs/pairs.ts'
import {
  assumptionsSection,
  cautionsSection,
  inputsSection,
  problemsSection,
  routesSection,
  signatures,
  sourcesSection,
} from './record.ts'
import { alongSection } from './road/along.ts'
import { pairRoads } from './road/pair-road.ts'
import { plottedRoads } from './road/plotted-runs.ts'
import { SCRIPT } from './script/script.ts'
import { facesFor, pageTypefaces } from './style/face.ts'
import { STYLE } from './style/sheet-style.ts'
import { takeAwaySection } from './take-away.ts'
import { onLocalClock } from './times.ts'

const hashOf = (text: string): string => `'sha256-${toBase64(sha256(text))}'`
/** Nothing but the one style sheet and the one script may style or run, and nothing may be fetched. */
const policy = (style: string): string =>
  `default-src 'none'; img-src data:; font-src data:; style-src ${hashOf(style)}; script-src ${hashOf(SCRIPT)}; base-uri 'none'; form-action 'none'`

const NO_THUMBNAILS: Thumbnails = new Map()

/** What the page can hold beside the report. */
export interface PageMore {
  /** Finds a pair, also one that the report does not tell of; only where the report does not tell of every pair. */
  between?: PairBetween
  /** The scores of a pair at several margins; without it the margin cannot be chosen. */
  scoresAt?: ScoresAt
  /** Names of the files beside the page. */
  files?: readonly string[]
  /** Paths of the cards' files beside the page. */
  cards?: readonly string[]
  /** Small copies of photos, where they were asked for. */
  thumbnails?: Thumbnails
}

/**
 * The text of index.html: one page that needs no network, and no script to be read; the answer first, then everything it
 * rests on. All texts of the report are escaped.
 *
 * @param along what is drawn along the road and in time; null leaves it out
 */
export function htmlPage(
  report: Report,
  along: Along | null = null,
  { between, scoresAt = () => null, files = [], cards = [], thumbnails = NO_THUMBNAILS }: PageMore = {},
): string {
  const zone = report.settings.time_zone
  const typefaces = pageTypefaces()
  const answer = [headSection(report), answerSection(report)]
  const roadOf = along ? pairRoads(plottedRoads(along, report), along.pairs) : undefined
  // What the answer rests on, from the drives to the record of how it was made.
  const sections = [
    drivesSection(report),
    claimsSection(report, typefaces, cards),
    stepsSection(report),
    pairsSection(report, { between, scoresAt, roadOf }),
    alongSection(along, report),
    routesSection(report),
    runsSection(report),
    recordingsSection(report),
    stintsSection(report),
    lapsSection(report),
    consumptionSection(report),
    coastDownSection(report),
    loggedSection(report),
    photosSection(report, thumbnails),
    limitsSection(report),
    problemsSection(report),
    assumptionsSection(report),
    factsSection(report),
    inputsSection(report),
    sourcesSection(report),
    cautionsSection(report),
  ]
  const margins = canChooseMargin(report, scoresAt)
    ? onLocalClock(marginBlock(report, marginsFor(report.settings.margin_pct), scoresAt).markup, zone)
    : ''
  const title = escaped(report.title ?? UNTITLED)
  const content = onLocalClock(
    html`${answer}${toolbar(sections, zone)}${sections}${leftOutOnPaper(sections)}${signatures()}`.markup,
    zone,
  )
  const style = facesFor(content, typefaces) + STYLE
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy(style)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>${title} – comparability report</title>
<style>${style}</style>
</head>
<body>
<main>
${content}</main>
${margins}${takeAwaySection(report, files).markup}
<script>${SCRIPT}</script>
</body>
</html>
`
}
