/**
 * Ways of measuring the fuel of a run. `pump`: filled before and after at one pump. `chained`: the same, and the fill after
 * a run is the fill before the next one. `any-pump`: filled at another pump each time. `scale`: weighed before and after.
 * `logged`: by the engine's own computer. `battery`: by a charge meter.
 */
export const MEASURING_WAYS = ['pump', 'chained', 'any-pump', 'scale', 'logged', 'battery'] as const
export type MeasuringWay = (typeof MEASURING_WAYS)[number]

export const ROUTE_SHAPES = ['one-way', 'there-and-back', 'loop'] as const
export type PlannedShape = (typeof ROUTE_SHAPES)[number]

/** What may be read of each drive beside its fuel. */
export const READ_AS_WELL = ['trip-computer', 'logged'] as const
export type ReadAsWell = (typeof READ_AS_WELL)[number]

/** As a user states it; `none` plans without a reading that a folder's drives have. */
export const STATED_AS_WELL = ['none', ...READ_AS_WELL] as const
export type StatedAsWell = (typeof STATED_AS_WELL)[number]

/** Whether a reading tells more than the fuel's own measuring: it is another one, and of fuel. */
export const tellsMore = (also: ReadAsWell, way: MeasuringWay): boolean => also !== way && way !== 'battery'
