import { gpx, kml } from '@tmcw/togeojson'
import { DOMParser, ParseError } from '@xmldom/xmldom'
import type { Outcome, Problem } from '../base/problem.ts'
import { failed, found } from '../base/problem.ts'
import { prologOf } from './prolog.ts'

/** One GeoJSON feature as togeojson makes it. */
export type Feature = ReturnType<typeof kml>['features'][number]

/**
 * The features of a small GPX or KML text by way of a document tree. Slow (about 1 MB/s, 120 MB of memory per MB), so
 * not for tracks of GPX. A document type is refused before anything is parsed, because xmldom would read its entities.
 */
export function featuresOf(text: string, format: 'gpx' | 'kml'): Outcome<Feature[]> {
  if (prologOf(text).hasDoctype) return failed(doctypeRefused)
  const problems: Problem[] = []
  const parser = new DOMParser({
    // Without this, xmldom prints what it finds to the console.
    onError: (level, message, context) => {
      if (level !== 'warning') problems.push(notWellFormed(message, context?.locator))
    },
  })
  try {
    const document = parser.parseFromString(text, 'text/xml')
    const { features } = format === 'gpx' ? gpx(document) : kml(document)
    return found(features, problems.slice(0, 1))
  } catch (error) {
    if (error instanceof RangeError && error.message.includes('call stack')) return failed(tooDeep)
    if (!(error instanceof ParseError)) throw error
    const first = problems.at(0) ?? notWellFormed(error.message, error.locator)
    return { value: null, problems: [{ ...first, severity: 'error' }] }
  }
}

export const doctypeRefused: Omit<Problem, 'severity'> = {
  code: 'doctype-refused',
  message: 'the file has a document type declaration (DOCTYPE), which no track file needs and which can do harm',
  hint: 'Remove the DOCTYPE line, or export the track again.',
}

/** togeojson walks nested geometries by a function that calls itself. */
const tooDeep = {
  code: 'xml-too-deep',
  message: 'the elements of the file are nested thousands deep, which no track file needs',
}

function notWellFormed(message: string, place?: { lineNumber?: number; columnNumber?: number }): Problem {
  return {
    code: 'xml-not-well-formed',
    severity: 'warning',
    message: `the file is not well-formed XML: ${message.split('\n')[0]}`,
    line: place?.lineNumber,
    column: place?.columnNumber,
  }
}
