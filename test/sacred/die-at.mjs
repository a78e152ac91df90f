/**
 * Loaded before the program: ends it by SIGKILL at its n-th operation on a file below a folder, before that operation
 * or, with "after", behind it. Reading is no operation here: it changes nothing. Without a number it only counts.
 *
 * DIE_BELOW: the folder; DIE_AT: n, from 1; DIE_WHEN: before or after; DIE_COUNT: a file for the count.
 */
import fs from 'node:fs'
import { syncBuiltinESMExports } from 'node:module'
import { sep } from 'node:path'

const below = process.env.DIE_BELOW + sep
const dieAt = Number(process.env.DIE_AT ?? 0)
const isAfter = process.env.DIE_WHEN === 'after'
const writeFile = fs.writeFileSync
let count = 0

const isBelow = (value) => typeof value === 'string' && value.startsWith(below)

function die() {
  process.kill(process.pid, 'SIGKILL')
  // The signal comes at once, but nothing may happen in between.
  for (;;);
}

/** @returns whether the program has to die behind this operation */
function counted() {
  count++
  if (count === dieAt && !isAfter) die()
  return count === dieAt
}

const CHANGING = ['mkdir', 'rename', 'link', 'symlink', 'unlink', 'rmdir', 'rm', 'chmod', 'utimes', 'lutimes', 'copyFile', 'writeFile']

for (const name of CHANGING) {
  const sync = fs[`${name}Sync`]
  fs[`${name}Sync`] = (...words) => {
    const last = words.some(isBelow) && counted()
    const result = sync(...words)
    if (last) die()
    return result
  }
  const promised = fs.promises[name]
  fs.promises[name] = async (...words) => {
    const last = words.some(isBelow) && counted()
    const result = await promised(...words)
    if (last) die()
    return result
  }
}

const open = fs.promises.open
fs.promises.open = async (path, flags = 'r', ...words) => {
  if (!isBelow(path) || flags === 'r') return open(path, flags, ...words)
  const last = counted()
  const file = await open(path, flags, ...words)
  if (last) die()
  for (const name of ['writeFile', 'close']) {
    const own = file[name].bind(file)
    file[name] = async (...more) => {
      const lastHere = counted()
      // Half of what is to be written, as a kill in the middle of it leaves.
      if (lastHere && isAfter && name === 'writeFile') await own(Buffer.from(more[0]).subarray(0, more[0].length / 2))
      else await own(...more)
      if (lastHere) die()
    }
  }
  return file
}
syncBuiltinESMExports()

process.on('exit', () => {
  if (process.env.DIE_COUNT) writeFile(process.env.DIE_COUNT, String(count))
})
