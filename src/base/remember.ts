import type { z } from 'zod'

/** A kind of result that is kept between calls, with the shape that its values have. */
export interface Kind<T> {
  name: string
  /** What comes back without this shape is not believed, and made again. */
  shape: z.ZodType<T>
}

/**
 * Gives what was made of the same parts before, or else makes it and keeps it.
 * @param parts all that the result depends on, as plain data; each is named by its content
 */
export type Remember = <T>(kind: Kind<T>, parts: readonly unknown[], make: () => T) => T

/** Keeps nothing, and makes everything anew. */
export const forgetful: Remember = (_kind, _parts, make) => make()
