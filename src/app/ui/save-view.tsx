import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import type { DiskFolder } from '../browser/disk-folder.ts'
import { download } from '../browser/download.ts'
import { zipped } from '../browser/zip.ts'
import type { OutputFile, Progress } from '../compute/compute.ts'
import type { App, AppState } from '../state/app.ts'
import { messageOf } from '../state/message-of.ts'
import { editedFile } from '../state/tables.ts'
import { fileAt } from '../workspace/workspace.ts'

interface Props {
  app: App
  state: AppState
  disk: DiskFolder
}

const bareName = (path: string): string => path.slice(path.lastIndexOf('/') + 1)
const inReport = (files: readonly OutputFile[]): OutputFile[] =>
  files.map((file) => ({ ...file, path: `report/${file.path}` }))

/** What can be taken away. */
export function SaveView({ app, state, disk }: Props) {
  const [making, setMaking] = useState<string | null>(null)
  const { answer } = state
  const { workspace } = state.history.now
  const isCurrent = answer !== null && answer.of === workspace && state.work.kind === 'rest'
  const edited = (['runs', 'campaign'] as const).flatMap((kind) => {
    const path = editedFile(state, kind)?.path.split('#')[0] ?? null
    return fileAt(workspace, path) ?? []
  })
  /** Makes the files of the report's folder, and does something with them; what came of it is told. */
  const withFiles = async (what: string, use: (files: OutputFile[]) => Promise<string>): Promise<void> => {
    if (answer === null) return
    setMaking(`Making ${what} …`)
    const told = ({ done, total }: Progress): void => setMaking(`Making ${what}: ${done} of ${total} cards …`)
    try {
      app.tell(await use(await answer.computed.outputFiles(told)))
    } catch (error) {
      app.tell(`${what} was not made: ${messageOf(error)}`)
    }
    setMaking(null)
  }
  const saveZip = (name: string, wanted: (files: OutputFile[]) => readonly { path: string; content: Blob }[]): void =>
    void withFiles(name, async (files) => {
      download(name, await zipped(wanted(files)))
      return `${name} is made.`
    })
  const saveText = (name: string, text: string | undefined, type: string): void => {
    if (text !== undefined) download(name, new Blob([text], { type }))
  }
  const writeBack = (): void =>
    void withFiles('the report’s folder', async (files) => {
      const refusal = await disk.write(files)
      return refusal === null ? `The report lies in ${disk.name()}/report.` : `Nothing was written: ${refusal}.`
    })
  const whole = { isOff: !isCurrent }
  const made = { isOff: !isCurrent || making !== null }
  return (
    <section aria-labelledby="save-title">
      <h2 id="save-title">Save</h2>
      {answer === null && <p>There is no report yet.</p>}
      {answer !== null && !isCurrent && <p>The report is being computed anew; it can be saved when that is done.</p>}
      <ul class="plain save-list">
        <Item label="Save report" {...whole} press={() => saveText('report.html', answer?.page, 'text/html')}>
          one page that needs no network, to read, print and send
        </Item>
        <Item
          label="Save report.json"
          {...whole}
          press={() => saveText('report.json', answer?.computed.json, 'application/json')}
        >
          every figure, for programs
        </Item>
        {edited.map(({ path, content }) => (
          <Item key={path} label={`Save ${bareName(path)}`} press={() => download(bareName(path), content)}>
            with your changes: put it into your folder, and the command line gives the same report
          </Item>
        ))}
        <Item
          label="Save the cards"
          {...made}
          press={() => saveZip('cards.zip', (files) => files.filter(({ path }) => path.startsWith('cards/')))}
        >
          labels with the result and its conditions, to show with a film or a post
        </Item>
        <Item
          label="Save everything"
          {...made}
          press={() => saveZip('everything.zip', (files) => [...workspace.files, ...inReport(files)])}
        >
          your files with the changes, and the whole report, in one ZIP archive
        </Item>
        {disk.name() !== null && (
          <Item label={`Write the report into ${disk.name()}`} {...made} press={writeBack}>
            as report/ in that folder; nothing is replaced but what this program wrote there
          </Item>
        )}
      </ul>
      <p role="status">{making}</p>
      <Clearing app={app} />
    </section>
  )
}

interface ItemProps {
  label: string
  isOff?: boolean
  press: () => void
  children: ComponentChildren
}

const Item = ({ label, isOff, press, children }: ItemProps) => (
  <li>
    <button type="button" class="large" disabled={isOff} onClick={press}>
      {label}
    </button>
    <span>{children}</span>
  </li>
)

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
