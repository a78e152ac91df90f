import { useState } from 'preact/hooks'
import { download } from '../browser/download.ts'
import { zipped } from '../browser/zip.ts'
import type { Progress } from '../compute/compute.ts'
import type { App, AppState } from '../state/app.ts'
import { editedFile } from '../state/tables.ts'
import { fileAt } from '../workspace/workspace.ts'

interface Props {
  app: App
  state: AppState
}

/** What can be taken away. */
export function SaveView({ app, state }: Props) {
  const [making, setMaking] = useState<string | null>(null)
  const { answer } = state
  const { workspace } = state.history.now
  const isCurrent = answer !== null && answer.of === workspace && state.work.kind === 'rest'
  const edited = (['runs', 'campaign'] as const).flatMap((kind) => {
    const file = fileAt(workspace, editedFile(state, kind)?.path.split('#')[0] ?? null)
    return file ?? []
  })
  const busy = making !== null
  const make = async (what: string, wanted: (path: string) => boolean, withInputs: boolean): Promise<void> => {
    if (answer === null) return
    setMaking(`Making ${what} …`)
    try {
      const told = ({ done, total }: Progress): void => setMaking(`Making ${what}: ${done} of ${total} files …`)
      const made = await answer.computed.outputFiles(told)
      const files = made.filter(({ path }) => wanted(path)).map((file) => ({ ...file, path: `report/${file.path}` }))
      download(what, await zipped([...(withInputs ? workspace.files : []), ...files]))
      app.tell(`${what} is made.`)
    } catch (error) {
      app.tell(`${what} was not made: ${error instanceof Error ? error.message : String(error)}`)
    }
    setMaking(null)
  }
  return (
    <section aria-labelledby="save-title">
      <h2 id="save-title">Save</h2>
      {answer === null && <p>There is no report yet.</p>}
      {answer !== null && !isCurrent && <p>The report is being computed anew; it can be saved when that is done.</p>}
      <ul class="plain save-list">
        <li>
          <button
            type="button"
            class="large"
            disabled={!isCurrent}
            onClick={() => answer && download('report.html', new Blob([answer.page], { type: 'text/html' }))}
          >
            Save report
          </button>
          <span>one page that needs no network, to read, print and send</span>
        </li>
        <li>
          <button
            type="button"
            class="large"
            disabled={!isCurrent}
            onClick={() =>
              answer && download('report.json', new Blob([answer.computed.json], { type: 'application/json' }))
            }
          >
            Save report.json
          </button>
          <span>every figure, for programs</span>
        </li>
        {edited.map(({ path, content }) => (
          <li key={path}>
            <button
              type="button"
              class="large"
              onClick={() => download(path.slice(path.lastIndexOf('/') + 1), content)}
            >
              Save {path.slice(path.lastIndexOf('/') + 1)}
            </button>
            <span>with your changes: put it into your folder, and the command line gives the same report</span>
          </li>
        ))}
        <li>
          <button
            type="button"
            class="large"
            disabled={!isCurrent || busy}
            onClick={() => void make('cards.zip', (path) => path.startsWith('cards/'), false)}
          >
            Save the cards
          </button>
          <span>labels with the result and its conditions, to show with a film or a post</span>
        </li>
        <li>
          <button
            type="button"
            class="large"
            disabled={!isCurrent || busy}
            onClick={() => void make('everything.zip', () => true, true)}
          >
            Save everything
          </button>
          <span>your files with the changes, and the whole report, in one ZIP archive</span>
        </li>
      </ul>
      {making !== null && <p role="status">{making}</p>}
      <Clearing app={app} />
    </section>
  )
}

function Clearing({ app }: { app: App }) {
  const [isAsked, setAsked] = useState(false)
  return (
    <div class="clearing">
      <h3>What this page keeps</h3>
      <p>
        Your files and changes stay in this browser, on this computer alone, until you clear them: a reload or a next
        visit finds them again.
      </p>
      {isAsked ? (
        <p>
          <button type="button" class="large" onClick={() => void app.clear()}>
            Yes, clear everything
          </button>{' '}
          <button type="button" class="quiet large" onClick={() => setAsked(false)}>
            Keep it
          </button>{' '}
          This cannot be taken back. The files on your disk stay as they are.
        </p>
      ) : (
        <button type="button" class="large" onClick={() => setAsked(true)}>
          Clear everything
        </button>
      )}
    </div>
  )
}
