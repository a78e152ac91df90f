/**
 * Where the built program lies: beside src/ for source that is run as it is, such as by a test, which so starts the
 * workers of the build. The build keeps this file in its place, `dist/files/`, for the same path to lead there.
 */
const PROGRAM = new URL('../../dist/', import.meta.url)

/** A file of the built program, by its path within it. */
export const programFile = (path: string): URL => new URL(path, PROGRAM)
