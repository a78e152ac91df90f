import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { deserialize, serialize } from 'node:v8'
import { threadId } from 'node:worker_threads'
import type { Task } from './simulate.ts'

/** What was made of this task before, or else makes and keeps it. The folder is that of one version of what makes it. */
export function remembered<T>(keptIn: string | null, task: Task, make: (task: Task) => T): T {
  if (keptIn === null) return make(task)
  const file = join(keptIn, createHash('sha256').update(JSON.stringify(task)).digest('hex'))
  if (existsSync(file)) return deserialize(readFileSync(file))
  const made = make(task)
  const unfinished = `${file}-${process.pid}-${threadId}`
  mkdirSync(keptIn, { recursive: true })
  writeFileSync(unfinished, serialize(made))
  renameSync(unfinished, file)
  return made
}
