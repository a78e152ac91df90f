export const DONE = 0
export const DONE_WITH_ERRORS = 1
export const NOTHING_DONE = 2
export type ExitCode = typeof DONE | typeof DONE_WITH_ERRORS | typeof NOTHING_DONE
