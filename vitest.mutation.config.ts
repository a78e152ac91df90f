import { defineConfig } from 'vitest/config'

/** The tests a folder of src/ is held against by `npm run mutation`: its own, but for long simulations. */
export default defineConfig({
  test: {
    include: [`test/${process.env.MUTATION_FOLDER ?? '{base,air,demand,compare,claim,plan}'}/*.test.ts`],
    exclude: ['test/**/simulated-*.test.ts'],
    testTimeout: 60_000,
  },
})
