const HALF_DAY_S = 43_200

/**
 * The day of each epoch: a date that an epoch names holds from there on, a day more from each midnight that passes; epochs
 * before the first date count back from it. null where no epoch names a date.
 * @param secondOfDay of each epoch, in the file's order
 * @param day days since 1970 where an epoch names its date, NaN elsewhere
 */
export function daysOfEpochs(secondOfDay: Float64Array, day: Float64Array): Float64Array | null {
  const passed = new Float64Array(secondOfDay.length)
  for (let i = 1; i < passed.length; i++) {
    const step = secondOfDay[i] - secondOfDay[i - 1]
    passed[i] = passed[i - 1] + (step < -HALF_DAY_S ? 1 : step > HALF_DAY_S ? -1 : 0)
  }
  const first = day.findIndex((one) => !Number.isNaN(one))
  if (first < 0) return null
  let midnight = day[first] - passed[first]
  return passed.map((count, i) => {
    if (!Number.isNaN(day[i])) midnight = day[i] - count
    return midnight + count
  })
}
