import { useEffect, useRef, useState } from 'preact/hooks'
import type { DiskFolder } from '../browser/disk-folder.ts'
import type { Progress } from '../compute/compute.ts'
import type { App, AppState, Work } from '../state/app.ts'
import { AnswerLines, AnswerView } from './answer-view.tsx'
import { DrivesView } from './drives-view.tsx'
import { FilesView } from './files-view.tsx'
import { SaveView } from './save-view.tsx'
import { SettingsView } from './settings-view.tsx'
import { TableView } from './table-view.tsx'

const VIEWS = ['Files', 'Drives', 'Fuel', 'Vehicle', 'Report', 'Save'] as const
type View = (typeof VIEWS)[number]

interface Props {
  app: App
  state: AppState
  version: string
  openSample: () => Promise<void>
  disk: DiskFolder
}

/** The whole page. On a wide screen the report stands beside what is edited. */
export function Page({ app, state, version, openSample, disk }: Props) {
  const [view, setView] = useState<View>('Files')
  const { workspace } = state.history.now
  const isEmpty = workspace.files.length === 0
  const { answer } = state
  const isStale = answer !== null && answer.of !== workspace
  const shown = isEmpty ? 'Files' : view
  const main = useRef<HTMLElement>(null)
  useEffect(() => {
    if (isEmpty) setView('Files')
    // What was pressed to begin may be gone: whoever uses the keyboard goes on from here.
    else main.current?.focus()
  }, [isEmpty])
  const show = (next: View): void => {
    setView(next)
    app.tell('')
    main.current?.scrollTo(0, 0)
  }
  return (
    <div class={`page view-${shown.toLowerCase()}${isEmpty ? ' empty' : ''}`}>
      <header>
        <h1>ceteris</h1>
        {!isEmpty && <UndoButtons app={app} state={state} />}
        {!isEmpty && <WorkLine work={state.work} app={app} />}
        <p class="notice" role="status">
          {state.notice}
        </p>
      </header>
      {!isEmpty && (
        <nav aria-label="Parts of this page">
          {VIEWS.map((name) => (
            <button
              key={name}
              type="button"
              class={`tab tab-${name.toLowerCase()}`}
              aria-current={name === shown ? 'page' : undefined}
              onClick={() => show(name)}
            >
              {name}
            </button>
          ))}
        </nav>
      )}
      <main ref={main} tabIndex={-1}>
        {answer !== null && shown !== 'Report' && <AnswerLines answer={answer} />}
        {shown === 'Files' && <FilesView app={app} state={state} openSample={openSample} disk={disk} />}
        {shown === 'Drives' && <DrivesView app={app} state={state} />}
        {shown === 'Fuel' && <TableView app={app} state={state} />}
        {shown === 'Vehicle' && <SettingsView app={app} state={state} />}
        {shown === 'Save' && <SaveView app={app} state={state} disk={disk} />}
        <footer>
          <p>
            ceteris {version}. The driver drives: nothing is read or noted on the move. The figures are estimates, no
            certification.
          </p>
        </footer>
      </main>
      {!isEmpty && <AnswerView answer={answer} isStale={isStale} />}
    </div>
  )
}

function UndoButtons({ app, state: { history } }: Pick<Props, 'app' | 'state'>) {
  const { past, now, future } = history
  useEffect(() => {
    const press = (event: KeyboardEvent): void => {
      const isText = event.target instanceof HTMLElement && event.target.matches('input:not([type=range]), textarea')
      if (isText || event.altKey || !(event.ctrlKey || event.metaKey)) return
      const key = event.key.toLowerCase()
      if (key !== 'z' && key !== 'y') return
      event.preventDefault()
      if (key === 'y' || event.shiftKey) app.redo()
      else app.undo()
    }
    addEventListener('keydown', press)
    return () => removeEventListener('keydown', press)
  }, [app])
  return (
    <div class="undo">
      <button type="button" disabled={past.length === 0} title={`Take back: ${now.done}`} onClick={() => app.undo()}>
        Undo
      </button>
      <button
        type="button"
        disabled={future.length === 0}
        title={`Do again: ${future[0]?.done ?? ''}`}
        onClick={() => app.redo()}
      >
        Redo
      </button>
    </div>
  )
}

const STEP_WORDS: Record<Progress['step'], string> = {
  reading: 'Reading the files',
  computing: 'Computing the drives',
  writing: 'Writing',
}

/** How far the work is; it can be stopped. */
function WorkLine({ work, app }: { work: Work; app: App }) {
  if (work.kind === 'rest') return null
  if (work.kind === 'working') {
    const { progress } = work
    const share = progress && progress.total > 0 ? progress.done / progress.total : null
    return (
      <div class="work">
        <label>
          {progress === null ? 'Working' : STEP_WORDS[progress.step]}
          <progress {...(share === null ? {} : { value: share })} max={1} />
        </label>
        <button type="button" onClick={() => app.stop()}>
          Stop
        </button>
      </div>
    )
  }
  return (
    <div class="work">
      <p class={work.kind === 'failed' ? 'error' : undefined}>
        {work.kind === 'failed'
          ? `This could not be computed: ${work.message}`
          : 'Stopped: what is shown is of before.'}
      </p>
      <button type="button" onClick={() => app.again()}>
        Compute
      </button>
    </div>
  )
}
