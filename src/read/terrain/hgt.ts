import { gunzip } from '../../base/platform.ts'
import { failed, found, type Outcome } from '../../base/problem.ts'
import { withoutSea } from './sea.ts'
import { type Box, type TerrainTile, withoutImpossible } from './types.ts'

/** Heights along each side: 3 or 1 seconds of arc apart, the outermost shared with the neighbour. */
const SIDES = [1201, 3601]
const VOID_M = -32768
const LARGEST_BYTES = 2 * 3601 * 3601

const NAME = /(?:^|[/\\#])([NS])(\d{2})([EW])(\d{3})[^/\\]*$/i

/** Whether a file calls itself an SRTM height file, plain or packed by gzip, whatever it holds. */
export const isHgtName = (path: string): boolean => /\.hgt(\.gz)?$/i.test(path)

/**
 * The square degree that an SRTM height file covers, by its name: the south-west corner, as in `N48E009.hgt`.
 * @returns null where the name holds no corner
 */
export function hgtBox(path: string): Box | null {
  const [, northOrSouth, latitude, eastOrWest, longitude] = NAME.exec(path) ?? []
  if (northOrSouth === undefined) return null
  const southDeg = northOrSouth.toUpperCase() === 'N' ? Number(latitude) : -Number(latitude)
  const westDeg = eastOrWest.toUpperCase() === 'E' ? Number(longitude) : -Number(longitude)
  if (southDeg < -90 || southDeg > 89 || westDeg < -180 || westDeg > 179) return null
  return { southDeg, westDeg, northDeg: southDeg + 1, eastDeg: westDeg + 1 }
}

/**
 * Reads an SRTM height file: nothing but two-byte heights in metres above the geoid (EGM96), the higher byte first,
 * north row first; -32768 is "not known". Its place is in its name alone. A gzip of one is unpacked.
 * @source USGS, SRTM Topography (documentation of the SRTM version 2.1 files), sections 2.1 and 2.2
 */
export function readHgt(packed: Uint8Array, path: string): Outcome<TerrainTile> {
  const box = hgtBox(path)
  if (box === null) {
    return failed({
      code: 'tile-name',
      message:
        'the name of a height file must begin with the corner it covers, as in N48E009.hgt; nothing else says where it lies',
      hint: 'Give the file back the name that it was published under.',
    })
  }
  const bytes = unpacked(packed)
  const side = SIDES.find((s) => bytes?.length === 2 * s * s)
  if (bytes === null || side === undefined) {
    const size = bytes === null ? 'something that cannot be unpacked to a height file' : `${bytes.length} bytes`
    return failed({
      code: 'tile-size',
      message: `found ${size}, expected ${SIDES.map((s) => `${2 * s * s} bytes (${s} × ${s} heights)`).join(' or ')}`,
      hint: 'Download it again; it may have been cut off.',
    })
  }
  const tile: TerrainTile = {
    file: path,
    northDeg: box.northDeg,
    westDeg: box.westDeg,
    stepLatitudeDeg: 1 / (side - 1),
    stepLongitudeDeg: 1 / (side - 1),
    rows: side,
    columns: side,
    heightM: heightsOf(bytes),
    voidM: VOID_M,
    level: 'geoid',
  }
  const sea = withoutSea(tile)
  return found(tile, [...sea, ...withoutImpossible(tile)])
}

function heightsOf(bytes: Uint8Array): Int16Array {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const heightM = new Int16Array(bytes.length / 2)
  for (let i = 0; i < heightM.length; i++) heightM[i] = view.getInt16(2 * i, false)
  return heightM
}

function unpacked(bytes: Uint8Array): Uint8Array | null {
  if (bytes[0] !== 0x1f || bytes[1] !== 0x8b || SIDES.some((s) => bytes.length === 2 * s * s)) return bytes
  const found = gunzip(bytes, LARGEST_BYTES)
  return typeof found === 'object' && found.isWhole ? found.bytes : null
}
