import { join } from 'node:path'
import { configDefaults, defineConfig } from 'vitest/config'
import { pageScript } from './build/page-script.mjs'

/** The browser among the development dependencies is made for Linux alone. */
const WITH_BROWSER = [
  'test/report/{first-screen,page-browser,page-tools,page-use}.test.ts',
  'test/app/{compute,drop,page-face,page-file,page-use,same-report}.test.ts',
  'test/cli/plan-sheet-page.test.ts',
]
/** It wants a browser that is not among the dependencies: `npm run test:firefox`. */
const WITH_FIREFOX = ['test/app/firefox.test.ts']
/** Every case at every width takes some minutes: `npm run test:page-grid`. */
const PAGE_GRID = ['test/report/page-grid.test.ts']
/** Whole campaigns simulated by the hundred, and the longest work in a browser: `npm run test:long`. */
const LONG = [
  'test/app/{compute,page-face,same-report}.test.ts',
  'test/campaign/simulated-truth.test.ts',
  'test/plan/simulated-power.test.ts',
  'test/report/page-tools.test.ts',
  'test/sacred/killed.test.ts',
]
/** They call a shell, make pipes, set rights or send signals as POSIX has them. */
const WITH_POSIX = [
  'test/cli/{batch,docs}.test.ts',
  'test/fetch/users-files.test.ts',
  'test/files/write.test.ts',
  'test/hostile/folder.test.ts',
  'test/sacred/*.test.ts',
  'test/shell/{completion,help-text}.test.ts',
  'test/store/cache{,-safety}.test.ts',
  'test/watch/watch.test.ts',
]

const LATE_COMPILER = join(import.meta.dirname, 'test/late-compiler.cjs')

export default defineConfig({
  plugins: [pageScript()],
  test: {
    include: ['test/**/*.test.ts'],
    exclude: [
      ...configDefaults.exclude,
      ...(process.env.CETERIS_FIREFOX ? [] : WITH_FIREFOX),
      ...(process.env.CETERIS_PAGE_GRID ? [] : PAGE_GRID),
      ...(process.env.CETERIS_LONG ? [] : LONG),
      ...(process.platform === 'linux' ? [] : WITH_BROWSER),
      ...(process.platform === 'win32' ? WITH_POSIX : []),
    ],
    globalSetup: './build/fresh.mjs',
    setupFiles: './test/only-loopback.ts',
    execArgv: ['--require', LATE_COMPILER],
    // Backslashes of Windows would be taken for the beginning of something else.
    env: { NODE_OPTIONS: `--require "${LATE_COMPILER.replaceAll('\\', '/')}"` },
    // Whole campaigns are run in some tests, on machines that may be slow: a hang is caught,
    // a slow machine is not a failure.
    maxWorkers: 2,
    // No test changes a module for the others, and loading the program anew for each file took a fifth of the time.
    isolate: false,
    testTimeout: 1_200_000,
    hookTimeout: 1_200_000,
  },
})
