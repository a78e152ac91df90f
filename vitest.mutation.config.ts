import { defineConfig } from 'vitest/config'

/** Tests of whole claims, their words and their draws by the ten thousand: slow, and what they tell others tell sooner. */
const wholeClaims = 'test/claim/{bad-ledger,claims,derived,effects,next-step,problems,sense,worth}.test.ts'

/** The tests a folder of src/ is held against by `npm run mutation`: its own, but for the slow ones. */
export default defineConfig({
  test: {
    include: [`test/${process.env.MUTATION_FOLDER ?? '{base,air,demand,compare,claim,plan}'}/*.test.ts`],
    exclude: ['test/**/simulated-*.test.ts', wholeClaims],
    testTimeout: 1_200_000,
  },
})
