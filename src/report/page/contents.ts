import { SYSTEM_WORDS, SYSTEMS } from '../../base/quantities.ts'
import { html, type Markup } from '../markup.ts'
import { PRINTED } from './style/print-style.ts'

/** What heads a section of the page: its anchor and its title, as markup. */
const HEADING = /<h2 id="([^"]+)">([^<]+)<\/h2>/

/** What stands between the answer and the sections it rests on: a list of these, and the choices of units and clock. */
export function toolbar(sections: readonly (Markup | null)[], zone: string | null): Markup {
  const entries = headingsOf(sections).map(
    ({ id, title, isHidden }) => html`<li${isHidden ? html` hidden=""` : null}><a href="#${id}">${title}</a></li>`,
  )
  return html`<div class="toolbar"><nav aria-label="Contents"><ul>${entries}</ul></nav>
${unitsSwitch()}${zone === null || isUtc(zone) ? null : clockSwitch(zone)}</div>
`
}

/** Names, on paper, the sections that are left to the page, and what others leave out; null where none is. */
export function leftOutOnPaper(sections: readonly (Markup | null)[]): Markup | null {
  const left = headingsOf(sections).filter(({ id, isOnScreen }) => isOnScreen || !PRINTED.includes(id))
  const titles = left.map(({ title }, i) => html`${i === 0 ? '' : '; '}${title}`)
  return html`<p class="paper-only small">Not printed, and shown in the page (index.html): ${titles}${left.length > 0 ? '; ' : ''}of each pair its contributions, and its reason where it can be used; of each claim its evidence and the sources of its uncertainty; notes on drives and files.</p>\n`
}

interface Heading {
  id: string
  title: Markup
  /** Until another margin fills its section. */
  isHidden: boolean
  /** Its section is never printed. */
  isOnScreen: boolean
}

function headingsOf(sections: readonly (Markup | null)[]): Heading[] {
  return sections.flatMap((section) => {
    const markup = section?.markup ?? ''
    const [, id, title] = HEADING.exec(markup) ?? []
    if (id === undefined) return []
    const startsWith = (attribute: string): boolean => markup.startsWith(`<section ${attribute}`)
    return [
      {
        id,
        title: { markup: title },
        isHidden: startsWith('hidden'),
        isOnScreen: startsWith('class="screen-only"'),
      },
    ]
  })
}

/** The choice of units; shown by the script that carries it out. */
function unitsSwitch(): Markup {
  const choices = SYSTEMS.map(
    (system) =>
      html`<label><input type="radio" name="units" value="${system}"${system === 'si' ? html` checked=""` : null}/> ${SYSTEM_WORDS[system]}</label> `,
  )
  return html`<fieldset class="units script-only"><legend>Units</legend>${choices}</fieldset>\n`
}

const isUtc = (zone: string): boolean => /^(Etc\/)?(UTC|GMT)$/i.test(zone)

/** The choice between the clock of the drives and UTC; shown by the script that carries it out. */
function clockSwitch(zone: string): Markup {
  const choice = (value: string, words: string): Markup =>
    html`<label><input type="radio" name="clock" value="${value}"${value === 'local' ? html` checked=""` : null}/> ${words}</label> `
  return html`<fieldset class="units script-only"><legend>Times</legend>${choice('local', zone)}${choice('utc', 'UTC')}</fieldset>\n`
}
