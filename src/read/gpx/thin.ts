/** Takes a GPX text piece by piece and gives it back with fewer track points. */
export interface Thinner {
  /** What can be given back of this piece and what was held of those before. */
  take: (piece: string) => string
  /** What is held at the end of the text. */
  rest: () => string
  /** Points met, and those of them that were kept. */
  counts: () => { met: number; kept: number }
}

const BEGIN = '<trkpt'
const END = '</trkpt>'
/** A point longer than this is passed on as it is, characters. */
const LONGEST_POINT = 65_536
/** Inside these the letters of a point may stand without being one. */
const NOT_PLAIN = /<!|-->|\]\]>/

/**
 * A thinner that keeps one point in so many of each segment, the first and the last among them, and of the others their
 * line ends, so that lines keep their numbers. All that is no plain point is passed on as it is. Bytes read as Latin-1
 * come out as they were.
 */
export function thinner(every: number): Thinner {
  const { passOn, passPoint, given, end, counts } = thinned(every)
  let held = ''
  const giveAndHold = (rest: string): string => {
    held = rest
    return given()
  }

  const take = (piece: string): string => {
    const text = held + piece
    let at = 0
    for (;;) {
      const begin = text.indexOf(BEGIN, at)
      if (begin < 0) break
      const end = text.indexOf(END, begin)
      const point = end < 0 ? null : text.slice(begin, end + END.length)
      if (point === null && text.length - begin < LONGEST_POINT) {
        passOn(text.slice(at, begin))
        return giveAndHold(text.slice(begin))
      }
      if (point === null || point.indexOf(BEGIN, 1) >= 0 || NOT_PLAIN.test(point)) {
        passOn(text.slice(at, begin + BEGIN.length))
        at = begin + BEGIN.length
        continue
      }
      passOn(text.slice(at, begin))
      passPoint(point)
      at = begin + point.length
    }
    // The letters of a begin may be cut in two, and a line end of two characters.
    const tail = Math.max(text.lastIndexOf('<'), text.endsWith('\r') ? text.length - 1 : -1)
    const whole = tail >= at && text.length - tail < BEGIN.length ? tail : text.length
    passOn(text.slice(at, whole))
    return giveAndHold(text.slice(whole))
  }
  const rest = (): string => {
    if (held !== '') passOn(held)
    return giveAndHold('') + end()
  }
  return { take, rest, counts }
}

interface Thinned {
  /** A text that is no point. */
  passOn: (text: string) => void
  passPoint: (point: string) => void
  /** All that can be given back by now. */
  given: () => string
  /** The last point, which its segment needs where it was dropped. */
  end: () => string
  counts: Thinner['counts']
}

/** What is given back of points and of the text between them. */
function thinned(every: number): Thinned {
  let out: string[] = []
  /** Place of the next point in its segment. */
  let place = 0
  /** The point dropped last, in one line: the segment may end with it. */
  let dropped = ''
  /** Nothing but blanks stands between the last point and what comes next. */
  let behindPoint = false
  const counts = { met: 0, kept: 0 }
  const end = (): string => {
    if (dropped !== '') counts.kept++
    return dropped
  }
  const passOn = (text: string): void => {
    if (!/\S/.test(text)) {
      out.push(behindPoint ? lineEnds(text) : text)
      return
    }
    behindPoint = false
    out.push(end(), text)
    dropped = ''
    place = 0
  }
  const passPoint = (point: string): void => {
    counts.met++
    behindPoint = true
    const isKept = place++ % every === 0
    if (isKept) counts.kept++
    out.push(isKept ? point : lineEnds(point))
    dropped = isKept ? '' : point.replace(/[\r\n]+/g, ' ')
  }
  const given = (): string => {
    const text = out.join('')
    out = []
    return text
  }
  return { passOn, passPoint, given, end, counts: () => counts }
}

const lineEnds = (text: string): string => '\n'.repeat(text.match(/\r\n?|\n/g)?.length ?? 0)
