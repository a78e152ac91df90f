import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    // Whole campaigns are run in some tests, on machines that may be slow: a hang is caught, a slow machine is not a failure.
    maxWorkers: 2,
    // No test changes a module for the others, and loading the program anew for each file took a fifth of the time.
    isolate: false,
    testTimeout: 60_000,
    hookTimeout: 600_000,
  },
})
