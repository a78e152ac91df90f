import { forgetful } from '../base/remember.ts'
import type { CampaignWork } from '../campaign/campaign-input.ts'
import { type Cache, rememberIn } from '../store/cache.ts'
import type { Motion } from '../track/types.ts'
import { computeRuns, type RunStore } from './compute-runs.ts'
import { type MotionPlaces, motionAt, placesInMemory } from './drives.ts'
import type { Work } from './work.ts'

const NOTHING_BROUGHT = (): null => null

/** With all motions in memory, and nothing kept. */
export const workInMemory = (motions: ReadonlyMap<string, Motion>, work: Work): CampaignWork =>
  workWith({ cache: null, version: '', motions: placesInMemory(motions), brought: NOTHING_BROUGHT }, work)

/** With motions fetched from the cache one by one, and all that is found out kept there. */
export const workThroughCache = (motions: MotionPlaces, cache: Cache, work: Work): CampaignWork =>
  workWith({ cache, version: cache.version, motions, brought: NOTHING_BROUGHT }, work)

/** As a store says: where motions are, what is known, and where results go. */
export const workWith = (store: RunStore, work: Work): CampaignWork => ({
  motions: (of) => motionAt(of, store.motions(of), store.cache),
  remember: store.cache ? rememberIn(store.cache) : forgetful,
  computeRuns: (setting, tasks) => computeRuns(setting, tasks, store, work),
})
