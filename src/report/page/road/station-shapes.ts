/** Marks of stations, told apart without colour: the same in the weather's drawing and on the map. */
export const SHAPES = [
  'M-2.5 0a2.5 2.5 0 1 0 5 0a2.5 2.5 0 1 0 -5 0z',
  'M-2.2 -2.2h4.4v4.4h-4.4z',
  'M0 -3l3 5h-6z',
  'M0 -3l3 3l-3 3l-3 -3z',
  'M-4 -1h3v-3h2v3h3v2h-3v3h-2v-3h-3z',
]
