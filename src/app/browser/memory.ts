import type { Memory } from '../state/app.ts'
import type { History, Step } from '../workspace/history.ts'

const NAME = 'ceteris'
/** The history with a number for each content, and the contents by their numbers, each written once. */
const STORES = ['history', 'contents'] as const
const KEY = 'history'

interface Kept {
  past: KeptStep[]
  now: KeptStep
  future: KeptStep[]
}
type KeptStep = Omit<Step, 'workspace'> & {
  workspace: Omit<Step['workspace'], 'files'> & { files: { path: string; content: number }[] }
}

/** The history in the browser's own database, for the next visit. */
export function browserMemory(): Memory {
  const numbers = new WeakMap<Blob, number>()
  let written = new Set<number>()
  let last = 0
  let saving: Promise<void> = Promise.resolve()

  const numberOf = (content: Blob): number => {
    const number = numbers.get(content) ?? ++last
    numbers.set(content, number)
    return number
  }
  const kept = ({ workspace, done }: Step): KeptStep => ({
    done,
    workspace: {
      ...workspace,
      files: workspace.files.map(({ path, content }) => ({ path, content: numberOf(content) })),
    },
  })

  async function load(): Promise<History | null> {
    const [history, keys, contents] = await inStores('readonly', (of) => [
      of('history').get(KEY),
      of('contents').getAllKeys(),
      of('contents').getAll(),
    ])
    if (history === undefined) return null
    const byNumber = new Map((keys as number[]).map((key, i) => [key, (contents as Blob[])[i]]))
    for (const [number, content] of byNumber) numbers.set(content, number)
    last = Math.max(0, ...byNumber.keys())
    written = new Set(byNumber.keys())
    const { past, now, future } = history as Kept
    const given = ({ workspace, done }: KeptStep): Step => ({
      done,
      workspace: {
        ...workspace,
        files: workspace.files.flatMap(({ path, content }) => {
          const found = byNumber.get(content)
          return found ? [{ path, content: found }] : []
        }),
      },
    })
    return { past: past.map(given), now: given(now), future: future.map(given) }
  }

  async function save({ past, now, future }: History): Promise<void> {
    const steps = [...past, now, ...future]
    const contents = new Map(
      steps.flatMap(({ workspace }) => workspace.files).map(({ content }) => [numberOf(content), content]),
    )
    const history: Kept = { past: past.map(kept), now: kept(now), future: future.map(kept) }
    await inStores('readwrite', (of) => {
      for (const [number, content] of contents) if (!written.has(number)) of('contents').put(content, number)
      for (const number of written) if (!contents.has(number)) of('contents').delete(number)
      return [of('history').put(history, KEY)]
    })
    written = new Set(contents.keys())
  }

  return {
    load,
    save: (history) => {
      // One behind the other, so that the last one stands.
      saving = saving.catch(() => undefined).then(() => save(history))
      return saving
    },
    clear: async () => {
      await saving.catch(() => undefined)
      written = new Set()
      await inStores('readwrite', (of) => [of('history').clear(), of('contents').clear()])
    },
  }
}

/** Asks in one transaction; the answers in the order of the questions. */
async function inStores(
  mode: IDBTransactionMode,
  ask: (of: (name: (typeof STORES)[number]) => IDBObjectStore) => IDBRequest[],
): Promise<unknown[]> {
  const database = await opened()
  try {
    return await new Promise((resolve, reject) => {
      const transaction = database.transaction(STORES, mode)
      const requests = ask((name) => transaction.objectStore(name))
      transaction.oncomplete = () => resolve(requests.map(({ result }) => result as unknown))
      transaction.onabort = () => reject(transaction.error)
    })
  } finally {
    database.close()
  }
}

const opened = (): Promise<IDBDatabase> =>
  new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1)
    request.onupgradeneeded = () => {
      for (const store of STORES) request.result.createObjectStore(store)
    }
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })
