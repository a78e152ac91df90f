import type { BadInput } from './make.ts'

/** The first directory of a TIFF at byte 8: entries of tag, type, count and value. */
function tiff(entries: [tag: number, type: number, count: number, value: number][], next = 0): Uint8Array {
  const view = new DataView(new ArrayBuffer(8 + 2 + entries.length * 12 + 4))
  view.setUint16(0, 0x4949)
  view.setUint16(2, 42, true)
  view.setUint32(4, 8, true)
  view.setUint16(8, entries.length, true)
  for (const [i, [tag, type, count, value]] of entries.entries()) {
    const at = 10 + i * 12
    view.setUint16(at, tag, true)
    view.setUint16(at + 2, type, true)
    view.setUint32(at + 4, count, true)
    view.setUint32(at + 8, value, true)
  }
  view.setUint32(10 + entries.length * 12, next, true)
  return new Uint8Array(view.buffer)
}
const SIZE: [number, number, number, number][] = [
  [256, 4, 1, 0xffffffff],
  [257, 4, 1, 0xffffffff],
  [258, 3, 1, 16],
  [277, 3, 1, 1],
]

const tile = (what: string, path: string, make: () => Uint8Array, code: string): BadInput => ({
  what: `terrain: ${what}`,
  path,
  make,
  code,
})

export const tiles: BadInput[] = [
  tile('a TIFF of four bytes', 'x.tif', () => tiff([]).slice(0, 4), 'tile-damaged'),
  tile('a TIFF without a directory', 'x.tif', () => tiff([]).slice(0, 8), 'tile-damaged'),
  tile('a TIFF with an empty directory', 'x.tif', () => tiff([]), 'tile-projection'),
  tile('a TIFF whose directory follows itself', 'x.tif', () => tiff(SIZE, 8), 'tile-projection'),
  tile('a TIFF of 4 by 4 thousand million heights', 'x.tif', () => tiff(SIZE), 'tile-projection'),
  tile(
    'a TIFF whose values lie beyond its end',
    'x.tif',
    () => tiff([...SIZE, [33550, 12, 3, 0x7fffffff], [34735, 3, 10_000, 0x7ffffff0]]),
    'tile-damaged',
  ),
  tile(
    'a TIFF of 65,535 entries and no more',
    'x.tif',
    () => {
      const t = tiff([])
      t[8] = 255
      t[9] = 255
      return t
    },
    'tile-damaged',
  ),
  tile('a height file of a wrong size', 'N52E005.hgt', () => new Uint8Array(1000), 'tile-size'),
  tile('an empty height file', 'N52E005.hgt', () => new Uint8Array(0), 'tile-size'),
  tile(
    'a height file of nothing but impossible heights',
    'N52E005.hgt',
    () => new Uint8Array(2 * 1201 ** 2).fill(0x7f),
    'tile-heights',
  ),
]
