/**
 * Figures of earlier versions, measured with this bench's data on one machine of two shared cores. Only ratios carry over
 * to other machines. Where there are two figures, the second is the version before the last that made it quicker.
 */
export const before = {
  records: 'before: 8.9 MB/s, then 11.1 MB/s and 4.4 x xmldom and togeojson',
  differences: 'before: 11.2 s, then 2.8 s',
  pairs: 'before: 4.6 s',
  cold: 'before: 41.7 s and 906 MB for 1,000 runs',
  again: 'before: 1.4 s and 249 MB for 1,000 runs',
  added: 'before: 16.6 s, then 4.2 s and 637 MB for 1,000 runs',
  growth: 'before: 1.0, 1.5, 2.4, 4.5 times the first',
  days: 'not measured before',
  help: 'before: twice the processor time',
  two: 'before: one and a half times the processor time',
}
