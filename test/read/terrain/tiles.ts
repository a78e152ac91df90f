import { writeArrayBuffer } from 'geotiff'
import type { TerrainTile } from '../../../src/read/terrain/types.ts'

/** The bytes of a height file with `side` heights a side; row 0 is the northernmost. */
export function hgtBytes(side: number, heightM: (row: number, column: number) => number): Uint8Array {
  const view = new DataView(new ArrayBuffer(2 * side * side))
  for (let row = 0; row < side; row++) {
    for (let column = 0; column < side; column++) {
      view.setInt16(2 * (row * side + column), heightM(row, column), false)
    }
  }
  return new Uint8Array(view.buffer)
}

/** A tile of its own making, one height every `stepDeg` from the north-west corner. */
export function tileOf(
  northDeg: number,
  westDeg: number,
  stepDeg: number,
  side: number,
  heightM: (latitudeDeg: number, longitudeDeg: number) => number,
): TerrainTile {
  return {
    file: 'made-up',
    northDeg,
    westDeg,
    stepLatitudeDeg: stepDeg,
    stepLongitudeDeg: stepDeg,
    rows: side,
    columns: side,
    heightM: Float32Array.from({ length: side * side }, (_, i) =>
      heightM(northDeg - Math.floor(i / side) * stepDeg, westDeg + (i % side) * stepDeg),
    ),
    voidM: Number.NaN,
    level: 'geoid',
  }
}

/** A GeoTIFF of 32-bit heights, one every 0.01°, whose tie point is 49° N 9° E, written by the library's own writer. */
export function geoTiffBytes(
  heights: number[][],
  keys: Record<string, number | number[] | string> = {},
  bands = 1,
): Uint8Array {
  const values = Float32Array.from(heights.flat().flatMap((h) => new Array(bands).fill(h)))
  const metadata = {
    height: heights.length,
    width: heights[0].length,
    BitsPerSample: new Array(bands).fill(32),
    SampleFormat: new Array(bands).fill(3),
    SamplesPerPixel: bands,
    ModelTiepoint: [0, 0, 0, 9, 49, 0],
    ModelPixelScale: [0.01, 0.01, 0],
    GTModelTypeGeoKey: 2,
    GTRasterTypeGeoKey: 2,
    GeographicTypeGeoKey: 4326,
    ...keys,
  }
  return new Uint8Array(writeArrayBuffer(values, metadata as Parameters<typeof writeArrayBuffer>[1]))
}
