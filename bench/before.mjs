/**
 * Figures of earlier versions, measured with this bench's data on one machine of two shared cores. Only ratios carry over
 * to other machines. Where there are two figures, the second is the version before the last that made it quicker.
 */
export const before = {
  records: 'before: 8.9 MB/s, 0.11 of saxes without listeners',
  differences: 'before: 11.2 s, then 2.8 s',
  pairs: 'before: 4.6 s',
  cold: 'before: 48 s and 650 MB for 200 runs (27 s and 325 MB after, in the same minutes on a busy machine)',
  help: 'before: twice the processor time',
  two: 'before: one and a half times the processor time',
}
