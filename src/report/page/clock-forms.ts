/** How much of a moment is told. */
export type ClockForm = keyof typeof CLOCK_FORMS

/** Of an instant in ISO 8601 UTC its text on the UTC clock, and the form of luxon for another. */
export const CLOCK_FORMS = {
  dayAndTime: { utc: (instant: string) => instant.slice(0, 16).replace('T', ' '), local: 'yyyy-MM-dd HH:mm' },
  time: { utc: (instant: string) => instant.slice(11, 16), local: 'HH:mm' },
  second: { utc: (instant: string) => instant.slice(11, 19), local: 'HH:mm:ss' },
}

/** A moment on the UTC clock. */
export const utcText = (instant: string, form: ClockForm): string => CLOCK_FORMS[form].utc(instant)
