import type { Report } from '../contract.ts'
import { html, type Markup } from '../markup.ts'

/**
 * The files beside the page, and the saving of its figures, which is shown by the script that does it.
 * @param files names of the files beside the page
 */
export function takeAwaySection({ version }: Report, files: readonly string[]): Markup {
  const links = files.map((name) => html`<li><a href="${name}">${name}</a></li>`)
  return html`<footer><p>Made by ceteris ${version} from the files listed under Inputs.${files.length > 0 ? html`<span class="beside"> The same figures as data, beside this page:</span>` : null}</p>
<ul class="files">${links}</ul>
<div class="save-figure script-only"><label for="figure-choice">Save a figure of this page <select id="figure-choice"></select></label> <button type="button" id="figure-svg">as SVG</button> <button type="button" id="figure-png">as PNG</button></div></footer>
`
}
