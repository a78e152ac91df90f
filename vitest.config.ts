import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    // Whole campaigns are run in some tests, on machines that may be slow: a hang is caught, a slow machine is not a failure.
    maxWorkers: 2,
    testTimeout: 60_000,
    hookTimeout: 600_000,
  },
})
