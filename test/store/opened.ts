import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { z } from 'zod'
import { type Cache, openCache } from '../../src/store/cache.ts'

/** A cache that can be had. */
export function opened(folder: string, program: string): Cache {
  const cache = openCache(folder, program)
  if (cache === null) throw new Error(`there is no cache in ${folder}`)
  return cache
}

export const entryPath = (cache: Cache, key: string): string => join(cache.folder, `${key}.entry`)

/** All files of a cache but its marker. */
export const entriesIn = ({ folder }: Cache): string[] =>
  readdirSync(folder)
    .filter((name) => name !== 'CACHEDIR.TAG')
    .map((name) => join(folder, name))

/** A kind of which every value is. */
export const ANY = { name: 'any', shape: z.unknown() }
