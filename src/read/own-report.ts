/** How a file of a report begins: `report.json`, its tables of drives, pairs, claims and parts, the page. */
const BEGINS = [
  /^\{\s*"schema":\s*"ceteris-report\/\d+"/,
  /^id,track,setup,route,start_time,end_time,/,
  /^a,b,verdict,difference_pct,/,
  /^setup,baseline,route,pooled,verdict,/,
  /^part,consumption_change_pct,/,
  /^<!doctype html>\s*<html[^>]*>\s*<head>.{0,2000}? – comparability report<\/title>/s,
]
const LOOK_AT = 4096

/**
 * Whether a text is of a report that this program wrote: it says what was found in a test, and states nothing of one. Its
 * folder is passed over as a whole; this is for such files outside of it, as a browser saves them.
 */
export function isOwnReport(text: string): boolean {
  const start = text.search(/[^\s\ufeff]/)
  if (start < 0) return false
  const head = text.slice(start, start + LOOK_AT)
  return BEGINS.some((begin) => begin.test(head))
}
