import { SYSTEM_WORDS, SYSTEMS } from '../../base/quantities.ts'
import { html, type Markup } from '../markup.ts'

/** What heads a section of the page: its anchor and its title, as markup. */
const HEADING = /<h2 id="([^"]+)">([^<]+)<\/h2>/

/** What stands between the answer and the sections it rests on: a list of these, and the choice of units. */
export function toolbar(sections: readonly (Markup | null)[]): Markup {
  const entries = sections.flatMap((section) => {
    const [, id, title] = HEADING.exec(section?.markup ?? '') ?? []
    return id === undefined ? [] : [html`<li><a href="#${id}">${{ markup: title }}</a></li>`]
  })
  return html`<div class="toolbar"><nav aria-label="Contents"><ul>${entries}</ul></nav>
${unitsSwitch()}</div>
`
}

/** The choice of units; shown by the script that carries it out. */
function unitsSwitch(): Markup {
  const choices = SYSTEMS.map(
    (system) =>
      html`<label><input type="radio" name="units" value="${system}"${system === 'si' ? html` checked=""` : null}/> ${SYSTEM_WORDS[system]}</label> `,
  )
  return html`<fieldset class="units script-only"><legend>Units</legend>${choices}</fieldset>\n`
}
