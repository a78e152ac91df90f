/**
 * Figures of the first version that did the whole job, measured with this bench's data on one machine of two shared cores.
 * Only ratios carry over to other machines.
 */
export const before = {
  records: 'before: 8.9 MB/s, 0.11 of saxes without listeners',
  pairs: 'before: 11.2 s',
  cold: 'before: 48 s and 650 MB for 200 runs (27 s and 325 MB after, in the same minutes on a busy machine)',
}
