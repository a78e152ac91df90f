import { defineConfig } from 'vitest/config'
import { pageScript } from './build/page-script.mjs'

export default defineConfig({
  plugins: [pageScript()],
  test: {
    include: ['test/**/*.test.ts'],
    globalSetup: './build/fresh.mjs',
    // Whole campaigns are run in some tests, on machines that may be slow: a hang is caught,
    // a slow machine is not a failure.
    maxWorkers: 2,
    // No test changes a module for the others, and loading the program anew for each file took a fifth of the time.
    isolate: false,
    testTimeout: 1_200_000,
    hookTimeout: 1_200_000,
  },
})
