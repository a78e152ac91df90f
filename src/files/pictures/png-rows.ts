/** A picture as rows of red, green, blue and opacity, colours already multiplied by opacity. */
export interface Pixels {
  width: number
  height: number
  pixels: Uint8Array
}

/** A picture as PNG wants its rows, each with the type of its filter before it. */
export interface Rows {
  rows: Uint8Array
  /** Red, green, blue and opacity of each colour that the rows name by its place; null where they hold the colours. */
  palette: Uint8Array | null
}

/** A palette holds so many at most. */
const MOST_COLOURS = 256

/**
 * The rows of a picture under some rows without any colour. A flat drawing has some 150 colours: with a palette its rows
 * are a quarter as long. No filter is used (type 0), as is best for a palette.
 * @source ISO/IEC 15948 (PNG, second edition): 9.2 filter type 0, 12.8 filter selection
 */
export const rowsOf = (picture: Pixels, clearAbove: number): Rows =>
  withPalette(picture, clearAbove) ?? withColours(picture, clearAbove)

/** Null for more colours than a palette holds. */
function withPalette({ width, height, pixels }: Pixels, clearAbove: number): Rows | null {
  const aligned = pixels.byteOffset % 4 === 0 ? pixels : new Uint8Array(pixels)
  const words = new Uint32Array(aligned.buffer, aligned.byteOffset, width * height)
  const bytes = Buffer.from(aligned.buffer, aligned.byteOffset, 4 * width * height)
  const rows = new Uint8Array((width + 1) * (clearAbove + height))
  // The clear colour comes first: it is that of the rows above.
  const places = new Map([[0, 0]])
  let [last, place] = [0, 0]
  for (let y = 0; y < height; y++) {
    let out = (clearAbove + y) * (width + 1) + 1
    const at = 4 * width * y
    // Two rows of three are the one above once more.
    if (y > 0 && bytes.compare(bytes, at - 4 * width, at, at, at + 4 * width) === 0) {
      rows.copyWithin(out, out - width - 1, out - 1)
      continue
    }
    for (let x = 0, here = y * width; x < width; x++, here++, out++) {
      const word = words[here]
      if (word !== last) {
        place = places.get(word) ?? places.size
        if (place === MOST_COLOURS) return null
        places.set(word, place)
        last = word
      }
      rows[out] = place
    }
  }
  return { rows, palette: straight(new Uint8Array(Uint32Array.from(places.keys()).buffer)) }
}

function withColours({ width, height, pixels }: Pixels, clearAbove: number): Rows {
  const rowBytes = 4 * width
  const rows = new Uint8Array((rowBytes + 1) * (clearAbove + height))
  for (let y = 0; y < height; y++) {
    rows.set(straight(pixels.subarray(y * rowBytes, (y + 1) * rowBytes)), (clearAbove + y) * (rowBytes + 1) + 1)
  }
  return { rows, palette: null }
}

/** Colours no longer multiplied by opacity. */
function straight(pixels: Uint8Array): Uint8Array {
  return pixels.map((value, i) => {
    const opacity = pixels[i | 3]
    return (i & 3) === 3 || opacity === 0 ? value : Math.min(255, Math.round((255 * value) / opacity))
  })
}
