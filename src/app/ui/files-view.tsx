import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import type { ReportProblem } from '../../report/contract.ts'
import { plural } from '../../report/words.ts'
import { chosenFiles, droppedFiles } from '../browser/choose.ts'
import type { DiskFolder } from '../browser/disk-folder.ts'
import type { GivenFile } from '../compute/compute.ts'
import type { App, AppState } from '../state/app.ts'
import { messageOf } from '../state/message-of.ts'
import { Problems } from './problems.tsx'

/** What a file was recognised as. */
const KIND_WORDS: Record<string, [one: string, many: string]> = {
  track: ['recording', 'recordings'],
  weather: ['weather file', 'weather files'],
  runs: ['table of drives', 'tables of drives'],
  fills: ['fuel log', 'fuel logs'],
  campaign: ['settings file', 'settings files'],
  elevation: ['terrain tile', 'terrain tiles'],
  picture: ['picture', 'pictures'],
  'fetched-list': ['list of fetched files', 'lists of fetched files'],
  unrecognised: ['not recognised', 'not recognised'],
}

interface Props {
  app: App
  state: AppState
  openSample: () => Promise<void>
  disk: DiskFolder
}

/** Where files come in, and what was recognised in them. */
export function FilesView({ app, state, openSample, disk }: Props) {
  const { files } = state.history.now.workspace
  return (
    <section aria-labelledby="files-title">
      <h2 id="files-title">{files.length === 0 ? 'Begin' : 'Files'}</h2>
      {files.length === 0 && <Welcome />}
      {files.length > 0 && <Recognition app={app} state={state} />}
      <Choosing app={app} openSample={openSample} disk={disk} isEmpty={files.length === 0} />
      <p class="promise">
        <strong>Your files never leave this computer.</strong> This page opens no connection: the policy in its first
        lines (<code>Content-Security-Policy … connect-src 'none'</code>) makes the browser refuse any. It works without
        a network, and you can see for yourself in the browser’s network tools that nothing is sent.
      </p>
    </section>
  )
}

function Welcome() {
  return (
    <>
      <p class="lead">
        You changed something on a vehicle and drove a known road before and after. Were the drives made under equal
        enough conditions to be compared, and what did the change do?
      </p>
      <p>
        Choose the tracks of the drives (GPX, KML, FIT, TCX, NMEA, GeoJSON or CSV logs) and, where you have them,
        weather reports of those days, your table of drives and fuel, and the settings. Only tracks are required. Files
        are told apart by their content.
      </p>
    </>
  )
}

function Choosing({ app, openSample, disk, isEmpty }: Omit<Props, 'state'> & { isEmpty: boolean }) {
  const [isOver, setOver] = useState(false)
  const drop = (event: DragEvent): void => {
    event.preventDefault()
    setOver(false)
    if (event.dataTransfer === null) return
    droppedFiles(event.dataTransfer)
      .then(({ files, from }) => app.add(files, from))
      .catch((error: unknown) =>
        app.tell(`What was dropped cannot be read: ${messageOf(error)} Use "Choose files" or "Choose a folder".`),
      )
  }
  return (
    <section
      class={isOver ? 'drop over' : 'drop'}
      aria-label="Add files"
      onDragOver={(event) => {
        event.preventDefault()
        setOver(true)
      }}
      onDragLeave={() => setOver(false)}
      onDrop={drop}
    >
      <div class="buttons">
        <FileButton label="Choose files" onFiles={(list) => app.add(chosenFiles(list), 'files')} />
        <FileButton label="Choose a folder" isFolder onFiles={(list) => app.add(chosenFiles(list), 'folder')} />
        {isEmpty && (
          <button type="button" class="large" onClick={() => void openSample()}>
            Try the sample campaign
          </button>
        )}
        {disk.isOffered && <DiskButtons app={app} disk={disk} />}
      </div>
      <p class="small">or drop files or a folder here</p>
    </section>
  )
}

/** A folder that stays open: it can be read again, and the report written into it. */
function DiskButtons({ app, disk }: { app: App; disk: DiskFolder }) {
  const name = disk.name()
  const addFrom = (read: () => Promise<GivenFile[] | null>): void => {
    read()
      .then((files) => (files === null ? undefined : app.add(files, 'folder')))
      .catch((error: unknown) => app.tell(`The folder cannot be read: ${messageOf(error)}`))
  }
  return (
    <>
      <button type="button" class="large" onClick={() => addFrom(disk.open)}>
        Open a folder to write to
      </button>
      {name !== null && (
        <button type="button" class="large" onClick={() => addFrom(disk.readAgain)}>
          Read {name} again
        </button>
      )}
    </>
  )
}

function FileButton({
  label,
  isFolder,
  onFiles,
}: {
  label: string
  isFolder?: boolean
  onFiles: (list: FileList) => void
}) {
  return (
    <label class="button large">
      {label}
      <input
        class="hidden"
        type="file"
        multiple
        {...(isFolder ? { webkitdirectory: true } : {})}
        onChange={(event) => {
          const { files } = event.currentTarget
          if (files && files.length > 0) onFiles(files)
          // The same files can be chosen once more after they were changed.
          event.currentTarget.value = ''
        }}
      />
    </label>
  )
}

function Recognition({ app, state }: Pick<Props, 'app' | 'state'>) {
  const { files } = state.history.now.workspace
  const { recognised, answer } = state
  if (recognised === null) return <p>{plural(files.length, 'file')}, being read …</p>
  const present = new Set(files.map(({ path }) => path))
  const inputs = recognised.inputs.filter(({ path }) => present.has(path.split('#')[0]))
  const counts = Object.entries(KIND_WORDS).flatMap(([kind, [one, many]]) => {
    const count = inputs.filter((input) => input.kind === kind).length
    return count === 0 ? [] : [`${count} ${count === 1 ? one : many}`]
  })
  // What shows only when drives and weather meet, such as a station out of reach, is in the report's list alone.
  const problems = answer?.of === state.history.now.workspace ? answer.computed.report.problems : recognised.problems
  const ofFile = (path: string): ReportProblem[] =>
    problems.filter((problem) => problem.path === path || problem.path?.startsWith(`${path}#`))
  const others = problems.filter(
    ({ path }) => path === null || ![...present].some((own) => path === own || path.startsWith(`${own}#`)),
  )
  const unread = files.filter(({ path }) => !inputs.some((input) => input.path.split('#')[0] === path))
  return (
    <>
      <h3>What was recognised</h3>
      <p>
        {counts.join(', ')}. {recognised.drives.length === 0 ? 'No drive' : plural(recognised.drives.length, 'drive')}{' '}
        found.
      </p>
      <Problems problems={others} isWithPath />
      <ul class="files">
        {inputs.map(({ path, kind, notes }) => (
          <FileRow key={path} app={app} path={path} kind={KIND_WORDS[kind][0]} problems={ofFile(path)}>
            {notes.length > 0 && <span class="small">{notes.join('; ')}</span>}
          </FileRow>
        ))}
        {unread.map(({ path }) => (
          <FileRow key={path} app={app} path={path} kind="…" problems={ofFile(path)} />
        ))}
      </ul>
    </>
  )
}

interface RowProps {
  app: App
  path: string
  kind: string
  problems: ReportProblem[]
  children?: ComponentChildren
}

function FileRow({ app, path, kind, problems, children }: RowProps) {
  return (
    <li>
      <div class="file-row">
        <span class="kind">{kind}</span>
        <span class="file">{path}</span>
        <button
          type="button"
          class="quiet"
          aria-label={`Remove ${path}`}
          onClick={() => app.remove(path.split('#')[0])}
        >
          Remove
        </button>
      </div>
      {children}
      <Problems problems={problems} />
    </li>
  )
}
