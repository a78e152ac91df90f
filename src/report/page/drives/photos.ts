import type { Report } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'
import { clock, clockName } from '../times.ts'

/** Small copies of photos as data: addresses, by their paths. */
export type Thumbnails = ReadonlyMap<string, string>

type Photo = Report['photos'][number]

/** The photos of drives and fills: small copies where these were asked for, else what there is and when it was taken. */
export function photosSection(report: Report, thumbnails: Thumbnails): Markup | null {
  const photos = report.photos.filter(({ run, fill }) => run !== null || fill !== null)
  if (photos.length === 0) return null
  const way =
    thumbnails.size > 0
      ? 'They are small copies without time, place or any other data of the files.'
      : 'With --photos the report shows small copies of them, without time, place or any other data of the files.'
  const places = new Map(report.runs.map(({ id }, i) => [id, i + 1]))
  const inOrder = photos.toSorted((a, b) => orderOf(a, places) - orderOf(b, places))
  // What was asked for as pictures is printed; a list of files is not.
  const shown = thumbnails.size > 0 ? null : html` class="screen-only"`
  return html`<section${shown} aria-labelledby="photos">
<h2 id="photos">Photos of drives and fills</h2>
<p>Seen, not measured: none of this entered a figure. ${way}</p>
<div class="run-figures">
${inOrder.map((photo) => figureOf(photo, places, thumbnails))}</div>
</section>
`
}

/** By drive, then those of fills. */
const orderOf = ({ run }: Photo, places: ReadonlyMap<string, number>): number =>
  (run === null ? undefined : places.get(run)) ?? Number.MAX_SAFE_INTEGER

function figureOf(photo: Photo, places: ReadonlyMap<string, number>, thumbnails: Thumbnails): Markup {
  const address = thumbnails.get(photo.path)
  const of = photo.run === null ? `fill of line ${photo.fill}` : `drive ${photo.run}`
  const image = address === undefined ? null : html`<img src="${address}" alt="Photo ${photo.path}, ${of}">`
  const number = photo.run === null ? null : html`<span class="number">${places.get(photo.run) ?? null}</span> `
  const when = photo.time === null ? 'time not known' : html`${clock(photo.time)} ${clockName()}`
  const note = photo.private ? ', within a private place and not shown' : ''
  return html`<figure class="run-figure">${image}<figcaption>${number}${photo.run ?? of}, ${when}${note}<br><span class="file">${photo.path}</span></figcaption></figure>
`
}
