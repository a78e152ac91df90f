import { execSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'

/**
 * Installs the dependencies when they are missing or older than the lock file, so that `npm run demo` and `npm test` work
 * on a fresh clone. Needs only Node and npm; does nothing when all is in place.
 */
const root = join(import.meta.dirname, '..')
const lockOf = (path) => {
  if (!existsSync(path)) return null
  const { packages } = JSON.parse(readFileSync(path, 'utf8'))
  return Object.entries(packages)
    .filter(([name, entry]) => name !== '' && !entry.optional)
    .map(([name, { version }]) => `${name} ${version}`)
    .join('\n')
}

if (lockOf(join(root, 'node_modules/.package-lock.json')) !== lockOf(join(root, 'package-lock.json'))) {
  execSync('npm ci --ignore-scripts --no-audit --no-fund', { cwd: root, stdio: 'inherit' })
}
