/** One report cut out of a text: words separated by single spaces, no terminator. */
export interface MetarText {
  line: number
  text: string
  /** The date written in front of the report, seconds since 1970 UTC; null where there is none. */
  writtenAt: number | null
}

export interface MetarTexts {
  reports: MetarText[]
  /** Lines that are neither a report nor part of a bulletin's frame. */
  strayLines: number[]
  /** Where forecasts (TAF) begin, which stand between the reports. */
  forecastLines: number[]
}

/** `2021-04-26 12:00`, `2021/04/26 12:00`, `2021-04-26T12:00:00Z`, `202104261200`, or the date alone, then the rest. */
const DATE =
  /^(\d{4})([-/]?)(\d\d)\2(\d\d)(?:[T ,]*(\d\d):?(\d\d)(?::?\d\d)?)?(?: ?(?:Z|UTC|GMT|\+00:?00))?(?:[\s,;]+|$)/
const REPORT = /^(?:(?:METAR|SPECI) )?(?:COR )?[A-Z][A-Z0-9]{3} (?:COR )?\d{5,7}Z?(?: (?!\d{4}\/\d{4})|$)/
/** Sequence number, abbreviated heading (`SAUS70 KWBC 081400 RRA`), report type alone, AWIPS line, comment. */
const FRAME = /^(?:\d{3}|[A-Z]{4}(?:\d\d)? [A-Z]{4} \d{6}(?: [A-Z]{3})?|(?:METAR|SPECI)(?: COR)?|[A-Z]{3,6}|#.*)$/
/** @source WMO No. 306, Manual on Codes, FM 51: the period of validity follows the time of issue */
const FORECAST = /^(?:TAF\b|(?:AMD |COR )?[A-Z][A-Z0-9]{3} (?:\d{6}Z )?\d{4}\/\d{4}(?: |$))/
/** A group of a report: some have no digit. Behind RMK anything in capitals may follow. */
const GROUP =
  /\d|\/|^(?:AUTO|COR|CAVOK|NOSIG|SKC|CLR|NSC|NCD|NSW|RMK|BECMG|TEMPO|[+-]?(?:VC|MI|PR|BC|DR|BL|SH|TS|FZ|DZ|RA|SN|GR|GS|BR|FG|FU|HZ|DU|SA){1,3})$/
const CONTROL = /[\p{Cc}\p{Cf}]/gu

interface Open {
  line: number
  words: string[]
  writtenAt: number | null
}

/**
 * Cuts a text into METAR and SPECI reports: one a line, or folded over several lines, ended by `=`, by a blank line, by a
 * bulletin heading or by the next report. Control characters and the frame of WMO bulletins are passed over.
 */
export function cutMetarText(text: string): MetarTexts {
  const reports: MetarText[] = []
  const strayLines: number[] = []
  const forecastLines: number[] = []
  let open: Open | null = null
  let writtenAt: number | null = null
  let inForecast = false

  const close = () => {
    if (open) reports.push({ line: open.line, text: open.words.join(' '), writtenAt: open.writtenAt })
    open = null
    inForecast = false
  }
  text.split(/\r*\n|\r+/).forEach((rawLine, index) => {
    const line = index + 1
    const whole = rawLine.replace(CONTROL, ' ').replace(/\s+/g, ' ').trim()
    if (whole === '') close()
    // Several reports may stand on one line, each with its terminator.
    for (const [i, part] of whole.split('=').entries()) {
      if (i > 0) close()
      const dated = datePrefix(part.trim())
      const rest = dated.rest
      if (dated.seconds !== null) {
        close()
        writtenAt = dated.seconds
      }
      if (rest === '') continue
      if (REPORT.test(rest)) {
        close()
        open = { line, words: [rest], writtenAt }
        writtenAt = null
      } else if (FORECAST.test(rest)) {
        close()
        inForecast = true
        forecastLines.push(line)
      } else if (open && goesOn(open, rest)) open.words.push(rest)
      else if (!inForecast || isHeading(rest)) {
        close()
        if (!FRAME.test(rest)) strayLines.push(line)
      }
    }
  })
  close()
  return { reports, strayLines, forecastLines }
}

/** Whether a line is the rest of a report: no sentence, no heading. */
function goesOn({ words }: Open, text: string): boolean {
  if (isHeading(text) || /\p{Ll}/u.test(text)) return false
  return words.some((line) => / RMK( |$)/.test(line)) || text.split(' ').some((word) => GROUP.test(word))
}

const isHeading = (text: string): boolean => /^[A-Z]{4}(?:\d\d)? [A-Z]{4} \d{6}(?: [A-Z]{3})?$/.test(text)

function datePrefix(text: string): { seconds: number | null; rest: string } {
  const match = DATE.exec(text)
  if (!match) return { seconds: null, rest: text }
  const [all, year, , month, day, hour, minute] = match
  const seconds = Date.UTC(Number(year), Number(month) - 1, Number(day), Number(hour ?? 12), Number(minute ?? 0)) / 1000
  const isDate = Number(month) >= 1 && Number(month) <= 12 && Number(day) >= 1 && Number(day) <= 31
  return isDate ? { seconds, rest: text.slice(all.length) } : { seconds: null, rest: text }
}
