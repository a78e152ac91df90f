import { CLOCK, moment, plainText } from '../../../base/sentence.ts'
import { isoTime } from '../../../base/time.ts'
import type { Report } from '../../contract.ts'
import { html, type Markup, scrolled } from '../../markup.ts'
import {
  clockTime,
  dividedRecordings,
  durationOf,
  lapOf,
  PIECE_WORDS,
  type ReportPiece,
  type ReportRecording,
  recordingWords,
  secondsOf,
  trackOf,
} from '../../words/drives/recordings.ts'
import { hoursAndMinutes, plural } from '../../words.ts'
import { driveAnchor, linkTo } from '../anchors.ts'
import { across, type Scale } from '../road/fluid.ts'
import { marked } from '../sentences.ts'
import { atMoment, clock, clockName, offsetAt } from '../times.ts'
import { amount, unitOf } from '../units.ts'

/** More divided recordings than these are counted only. */
const MOST_RECORDINGS = 30
const STRIP_PX = 34
/** A label stands in a drive that takes at least this share of the strip. */
const LEAST_LABELLED = 0.06
/** Distances between marks on the time axis, s; at most so many marks. */
const TICKS_S = [300, 600, 900, 1800, 3600, 7200, 10_800, 21_600, 43_200, 86_400]
const MOST_TICKS = 5

/** How the recordings were divided, each as a strip over time; null where each of them is one drive. */
export function recordingsSection(report: Report): Markup | null {
  const divided = dividedRecordings(report)
  if (divided.length === 0) return null
  const shown = divided.slice(0, MOST_RECORDINGS)
  const more = divided.length - shown.length
  const left =
    more > 0 ? html`<p>${plural(more, 'more divided recording')}: all of them are in report.json.</p>\n` : null
  const legend = (Object.keys(PIECE_WORDS) as ReportPiece['kind'][]).map(
    (kind) =>
      html`<span><svg aria-hidden="true" width="26" height="14"><rect class="piece" fill="url(#piece-${kind})" width="26" height="14"/></svg> ${PIECE_WORDS[kind].word}</span> `,
  )
  return html`<section aria-labelledby="recordings">
<h2 id="recordings">How the recordings were divided</h2>
<p>Drives are compared; what lies between them is not. The ends of a recording outside its drives are not shown on any map.</p>
${patterns()}<p class="map-legend">${legend}</p>
${shown.map((recording, i) => strip(recording, report, i + 1))}${left}</section>
`
}

function strip(recording: ReportRecording, report: Report, number: number): Markup {
  const { start_time, end_time, pieces } = recording
  const zone = report.settings.time_zone
  const scale = { from: secondsOf(start_time), to: secondsOf(end_time) }
  const told = (on: string | null): string => pieces.map((piece) => pieceWords(piece, report, on)).join('; ')
  const words = recordingWords(recording, report, [moment(start_time), ' to ', moment(end_time), ' ', CLOCK])
  return html`<figure class="recording"><figcaption>${marked(words)}</figcaption>
<div class="fluid"><svg class="fluid-svg" role="group" aria-labelledby="recording-${number}-title" aria-describedby="recording-${number}-told" width="100%" height="${STRIP_PX + 24}"><title id="recording-${number}-title"${inUtc(plainText(words))}>${plainText(recordingWords(recording, report))}</title><desc id="recording-${number}-told"${inUtc(told(null))}>${told(zone)}</desc>${pieces.map((piece) => pieceShape(piece, scale, report))}${timeAxis(scale, zone)}</svg></div>
<details><summary>${plural(pieces.length, 'piece')} of this recording</summary>
${pieceTable(recording, report)}</details></figure>
`
}

function pieceShape(piece: ReportPiece, scale: Scale, report: Report): Markup {
  const share = durationOf(piece) / (scale.to - scale.from || 1)
  const x = across(scale, secondsOf(piece.start_time))
  const shape = html`<rect class="piece" fill="url(#piece-${piece.kind})" x="${x}" y="1" width="${Math.round(share * 10_000) / 100}%" height="${STRIP_PX - 2}"/>`
  const number = report.runs.findIndex(({ id }) => id === piece.run) + 1
  const title = (before: string): Markup =>
    html`<title${inUtc(`${before}${pieceWords(piece, report, null)}`)}>${before}${pieceWords(piece, report, report.settings.time_zone)}</title>`
  if (number === 0) return html`<g>${title('')}${shape}</g>`
  const middle = (secondsOf(piece.start_time) + secondsOf(piece.end_time)) / 2
  const label =
    share < LEAST_LABELLED
      ? null
      : html`<text x="${across(scale, middle)}" y="${STRIP_PX / 2 + 5}" text-anchor="middle" aria-hidden="true">${number}</text>`
  return html`<a href="${linkTo(driveAnchor(report.runs[number - 1].id))}">${title(`Drive ${number}: `)}${shape}${label}</a>`
}

/** The text that an element has on the UTC clock. */
const inUtc = (text: string): Markup => html` data-utc="${text}"`

/** "09:14 to 09:44 drive day.gpx@0914", on the clock of a zone. */
function pieceWords(piece: ReportPiece, report: Report, zone: string | null): string {
  const track = trackOf(piece, report)
  const { word } = PIECE_WORDS[piece.kind]
  const lap = track === null ? null : lapOf(track)
  return `${clockTime(piece.start_time, zone)} to ${clockTime(piece.end_time, zone)} ${lap === null ? word : `lap ${lap}`}${track === null ? '' : `, ${track}`}`
}

function timeAxis({ from, to }: Scale, zone: string | null): Markup {
  const stepS = TICKS_S.find((step) => (to - from) / step <= MOST_TICKS) ?? 86_400 * Math.ceil((to - from) / 432_000)
  const offsetS = offsetAt(from, zone)
  const first = Math.ceil((from + offsetS) / stepS) * stepS - offsetS
  const count = Math.max(0, Math.floor((to - first) / stepS) + 1)
  const marks = Array.from({ length: count }, (_, i) => first + i * stepS).map((time) => {
    const x = across({ from, to }, time)
    return html`<line class="axis" x1="${x}" x2="${x}" y1="${STRIP_PX}" y2="${STRIP_PX + 5}"/><text x="${x}" y="${STRIP_PX + 19}" text-anchor="middle"${atMoment(isoTime(time), 'time')}</text>`
  })
  return html`${marks}`
}

function pieceTable({ track, pieces }: ReportRecording, report: Report): Markup {
  const rows = pieces.map((piece) => {
    const number = report.runs.findIndex(({ id }) => id === piece.run) + 1
    const name =
      number === 0
        ? html`–`
        : html`<a href="${linkTo(driveAnchor(report.runs[number - 1].id))}"><span class="number">${number}</span> ${trackOf(piece, report) ?? ''}</a>`
    return html`<tr><td>${clock(piece.start_time, 'time')}</td><td>${clock(piece.end_time, 'time')}</td><td>${PIECE_WORDS[piece.kind].word}</td><td class="figure">${hoursAndMinutes(durationOf(piece))}</td><td class="figure">${piece.distance_m >= 50 ? amount(piece.distance_m, 'distance', 1) : '–'}</td><td>${name}</td></tr>\n`
  })
  return scrolled(
    `Pieces of ${track}`,
    html`<table><caption>Pieces of ${track}, times ${clockName()}</caption>
<thead><tr><th scope="col">From</th><th scope="col">To</th><th scope="col">What</th><th scope="col" class="figure">Duration</th><th scope="col" class="figure">Length, ${unitOf('distance')}</th><th scope="col">Drive</th></tr></thead>
<tbody>${rows}</tbody></table>`,
  )
}

/** The pieces' patterns, once in a page: told apart without colour. */
function patterns(): Markup {
  const of = (kind: ReportPiece['kind'], ground: number, content: Markup | null): Markup =>
    html`<pattern id="piece-${kind}" width="8" height="8" patternUnits="userSpaceOnUse"><rect class="hatch-ground ground-${ground}" width="8" height="8"/>${content}</pattern>`
  return html`<svg class="hidden" aria-hidden="true" focusable="false" width="0" height="0"><defs>${of('drive', 3, null)}${of('other', 1, html`<path class="hatch" d="M0 8L8 0M-2 2L2 -2M6 10L10 6"/>`)}${of('stop', 2, html`<circle class="hatch-dot" cx="4" cy="4" r="1.4"/>`)}${of('gap', -1, null)}</defs></svg>`
}
