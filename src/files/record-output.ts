import { once } from 'node:events'
import { rmSync } from 'node:fs'
import { mkdir, open, rename, rm } from 'node:fs/promises'
import { basename, dirname, join, resolve } from 'node:path'
import { cleaned } from '../base/names.ts'
import { stoppingCleanly } from './clean-stop.ts'
import { fileErrorReason, isFileError } from './file-errors.ts'

/**
 * Writes records, one in each line: to standard output as they come, or to a file that is there as a whole or not at all.
 * @returns why they could not be written; null where they were
 */
export async function writeRecords(lines: AsyncIterable<string>, out: string | undefined): Promise<string | null> {
  if (out === undefined) {
    for await (const line of lines) if (!process.stdout.write(`${line}\n`)) await once(process.stdout, 'drain')
    return null
  }
  const target = resolve(out)
  const fresh = join(dirname(target), `.${basename(target)}.new-${process.pid}`)
  const undo = (): void => rmSync(fresh, { force: true })
  return stoppingCleanly(() => writeWhole(lines, target, fresh), undo, `${cleaned(out)} is as it was`)
}

async function writeWhole(lines: AsyncIterable<string>, target: string, fresh: string): Promise<string | null> {
  try {
    await mkdir(dirname(target), { recursive: true })
    const file = await open(fresh, 'w')
    try {
      for await (const line of lines) await file.writeFile(`${line}\n`)
    } finally {
      await file.close()
    }
    await rename(fresh, target)
    return null
  } catch (error) {
    await rm(fresh, { force: true }).catch(() => undefined)
    if (!isFileError(error)) throw error
    return `the records could not be written to ${cleaned(target)}: ${fileErrorReason(error)}`
  }
}
