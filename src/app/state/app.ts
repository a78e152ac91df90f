import type { Problem } from '../../base/problem.ts'
import { plural } from '../../report/words.ts'
import type { Compute, Computed, GivenFile, Progress, Recognised } from '../compute/compute.ts'
import { contentOfText, readText } from '../edit/file-text.ts'
import { BEGINNING, type History, redone, undone, withStep } from '../workspace/history.ts'
import { listed } from '../workspace/listing.ts'
import { EMPTY, type Workspace, withFiles, withoutFiles } from '../workspace/workspace.ts'
import { messageOf } from './message-of.ts'

/** What the page shows hangs on this alone. Whoever changes it makes a new one. */
export interface AppState {
  history: History
  /** The last answers, which may be of an earlier workspace while a new one is computed. */
  recognised: Recognised | null
  /** Of which workspace. */
  recognisedOf: Workspace | null
  answer: Answer | null
  work: Work
  /** What was just done, or why it could not be, in a sentence. */
  notice: string
}

export interface Answer {
  computed: Computed
  /** The text of index.html. */
  page: string
  /** Of which workspace. */
  of: Workspace
}

export type Work =
  | { kind: 'rest' }
  | { kind: 'working'; progress: Progress | null }
  | { kind: 'stopped' }
  | { kind: 'failed'; message: string }

/** Where the history is kept from visit to visit. */
export interface Memory {
  load: () => Promise<History | null>
  save: (history: History) => Promise<void>
  clear: () => Promise<void>
}

/** The state of the page, and all that can be done to it. */
export interface App {
  state: () => AppState
  onChange: (listener: () => void) => void
  /** Adds files as they were chosen or dropped; a folder takes the place of what was there. */
  add: (given: readonly GivenFile[], from: 'files' | 'folder') => Promise<void>
  remove: (path: string) => void
  /** Gives files new texts, as one step. */
  write: (texts: Readonly<Record<string, string>>, done: string) => void
  undo: () => void
  redo: () => void
  stop: () => void
  /** Computes anew what was stopped or has failed. */
  again: () => void
  clear: () => Promise<void>
  tell: (notice: string) => void
}

const STARTED: AppState = {
  history: BEGINNING,
  recognised: null,
  recognisedOf: null,
  answer: null,
  work: { kind: 'rest' },
  notice: '',
}

/** Starts with what the last visit left. */
export function startApp(compute: Compute, memory: Memory): App {
  let state = STARTED
  let running = new AbortController()
  const listeners: (() => void)[] = []

  const set = (changes: Partial<AppState>): void => {
    state = { ...state, ...changes }
    for (const listener of listeners) listener()
  }
  const go = (history: History, notice: string): void => {
    set({ history, notice })
    void memory.save(history).catch((error: unknown) => set({ notice: notKept(error) }))
    void work()
  }
  const step = (workspace: Workspace, done: string, notice = ''): void =>
    go(withStep(state.history, workspace, done), notice)

  async function work(): Promise<void> {
    running.abort()
    const own = new AbortController()
    running = own
    const { workspace } = state.history.now
    if (workspace.files.length === 0)
      return set({ recognised: null, recognisedOf: null, answer: null, work: { kind: 'rest' } })
    set({ work: { kind: 'working', progress: null } })
    const onProgress = (progress: Progress): void => {
      if (!own.signal.aborted) set({ work: { kind: 'working', progress } })
    }
    const given = givenOf(workspace)
    try {
      const recognised = await compute.recognise(given, onProgress, own.signal)
      await readTables(workspace, recognised)
      if (own.signal.aborted) return
      set({ recognised, recognisedOf: workspace })
      const computed = await compute.report(given, onProgress, own.signal)
      const page = await computed.page()
      if (!own.signal.aborted) set({ answer: { computed, page, of: workspace }, work: { kind: 'rest' } })
    } catch (error) {
      if (own.signal.aborted) return
      set({ work: { kind: 'failed', message: messageOf(error) } })
    }
  }

  void memory
    .load()
    .then((history) => {
      if (history !== null && state.history === BEGINNING) {
        set({ history })
        return work()
      }
      return undefined
    })
    .catch((error: unknown) => set({ notice: notKept(error) }))

  return {
    state: () => state,
    onChange: (listener) => {
      listeners.push(listener)
    },
    add: async (given, from) => {
      try {
        const added = await withGiven(state.history.now.workspace, given, from)
        if (added === null)
          return set({ notice: 'Nothing in there can be read: no file, or only hidden ones and reports.' })
        step(added.workspace, added.done, added.notice)
      } catch (error) {
        set({ notice: `These files cannot be read: ${messageOf(error)}` })
      }
    },
    remove: (path) => step(withoutFiles(state.history.now.workspace, [path]), `removing ${path}`, `${path} removed.`),
    write: (texts, done) => {
      const files = Object.entries(texts).map(([path, text]) => ({ path, content: contentOfText(text) }))
      step(withFiles(state.history.now.workspace, files), done)
    },
    undo: () => {
      const { past, now } = state.history
      if (past.length > 0) go(undone(state.history), `Taken back: ${now.done}.`)
    },
    redo: () => {
      const [next] = state.history.future
      if (next) go(redone(state.history), `Done again: ${next.done}.`)
    },
    stop: () => {
      running.abort()
      set({ work: { kind: 'stopped' }, notice: 'Stopped.' })
    },
    again: () => void work(),
    clear: async () => {
      running.abort()
      await memory.clear()
      set({ ...STARTED, notice: 'Everything is cleared: this page keeps nothing of your files.' })
    },
    tell: (notice) => set({ notice }),
  }
}

/** A workspace with files as they were chosen or dropped, and what is told of it; null where nothing can be read. */
async function withGiven(
  before: Workspace,
  given: readonly GivenFile[],
  from: 'files' | 'folder',
): Promise<{ workspace: Workspace; done: string; notice: string } | null> {
  const { files: found, folderName, problems } = await listed(given, from === 'folder')
  const files = await Promise.all(found.map(held))
  if (files.length === 0) return null
  const base = from === 'folder' ? { ...EMPTY, folderName } : before
  const passedOver = [...base.passedOver.filter(({ file }) => !problems.some((p) => p.file === file)), ...problems]
  const count = plural(files.length, 'file')
  const isReplaced = (path: string): boolean => from === 'folder' || files.some((file) => file.path === path)
  const replaced = before.files.filter(({ path }) => isReplaced(path)).length
  const instead = replaced > 0 ? `, in place of ${plural(replaced, 'file')}; Undo brings them back` : ''
  return {
    workspace: { ...withFiles(base, files), passedOver },
    done: `adding ${count}`,
    notice: `${count} added${instead}.`,
  }
}

/** Files of more bytes stay where they are on the disk. */
const MOST_HELD_BYTES = 4 * 2 ** 20

/** A file as it is now: the browser gives up one that changes on the disk, as runs.csv does when it is saved over. */
async function held({ path, content }: GivenFile): Promise<GivenFile> {
  return { path, content: content.size > MOST_HELD_BYTES ? content : new Blob([await content.arrayBuffer()]) }
}

const givenOf = ({ files, folderName, passedOver }: Workspace) => ({
  files,
  unreadable: passedOver as Problem[],
  ...(folderName === null ? {} : { folderName }),
})

/** The texts that the page edits, so that they are at hand when it is drawn. */
async function readTables({ files }: Workspace, { inputs }: Recognised): Promise<void> {
  const edited = inputs.filter(({ kind }) => kind === 'runs' || kind === 'campaign').map(({ path }) => path)
  await Promise.all(files.filter(({ path }) => edited.includes(path)).map(({ content }) => readText(content)))
}

const notKept = (error: unknown): string =>
  `This browser does not keep the page’s files (${messageOf(error)}): after a reload they must be chosen again.`
