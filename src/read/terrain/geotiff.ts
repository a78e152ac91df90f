import type { GeoTIFFImage } from 'geotiff'
import { failed, found, type Outcome, type Problem } from '../../base/problem.ts'
import { type Box, overlaps, type TerrainTile, withoutImpossible } from './types.ts'

/** More heights than this for one road are a finer grid than a road needs: 200 MB. */
const MOST_HEIGHTS = 50_000_000

/** Geographic coordinate systems by EPSG code; the difference between NAD83 and WGS 84 is below two metres on the ground. */
const GEOGRAPHIC: Record<number, { level: 'geoid' | 'ellipsoid'; note: string | null }> = {
  4326: { level: 'geoid', note: null },
  4269: { level: 'geoid', note: 'in NAD83 (EPSG:4269), taken as WGS 84: up to two metres aside' },
  4979: {
    level: 'ellipsoid',
    note: 'in EPSG:4979, heights above the ellipsoid: they give the shape of the road, its level is left to the drives',
  },
}

/** Metres per unit of height, by EPSG code of the unit. @source EPSG dataset: 9001 metre, 9002 foot, 9003 US survey foot */
const METRES_PER_UNIT: Record<number, number> = { 9001: 1, 9002: 0.3048, 9003: 1200 / 3937 }

/** @source OGC 19-008r4: GTModelTypeGeoKey 2 is latitude and longitude, GTRasterTypeGeoKey 2 RasterPixelIsPoint */
const GEOGRAPHIC_MODEL = 2
const PIXEL_IS_POINT = 2

/** How a single-band geographic raster lies on the map. */
interface Grid {
  northDeg: number
  westDeg: number
  stepLatitudeDeg: number
  stepLongitudeDeg: number
  level: 'geoid' | 'ellipsoid'
  metresPerUnit: number
}

/** What the library found in the file's header, as found. */
interface Header {
  width: number
  height: number
  bands: number
  keys: Record<string, unknown>
  scale: ArrayLike<number> | null
  transformation: ArrayLike<number> | null
  tie: { i: number; j: number; x: number; y: number } | null
  nodata: number | null
}

/**
 * Reads that part of a GeoTIFF terrain tile which lies within a box, with one height around it.
 * @returns no tile, and no problem, when no part of it lies within the box
 * @source OGC 19-008r4, GeoTIFF 1.1: raster to model coordinates; GeoKeys 1024, 1025, 2048, 3072, 4099
 */
export async function readGeoTiff(bytes: Uint8Array, path: string, box: Box): Promise<Outcome<TerrainTile[]>> {
  const { fromArrayBuffer } = await import('geotiff')
  const opened = await orDamaged(async () => {
    const image = await (await fromArrayBuffer(exactBuffer(bytes))).getImage(0)
    return { image, header: await headerOf(image) }
  })
  if (opened.value === null) return { value: null, problems: opened.problems }
  const { image, header } = opened.value
  const grid = gridOf(header)
  if (grid.value === null) return { value: null, problems: grid.problems }
  const window = windowOf(header, grid.value, box)
  if (window === null) return found([])
  const [columns, rows] = [window[2] - window[0], window[3] - window[1]]
  if (columns * rows > MOST_HEIGHTS) return failed(tooFine(columns, rows))
  const values = await orDamaged(() => image.readRasters({ window, interleave: true }))
  if (values.value === null) return { value: null, problems: values.problems }
  const tile: TerrainTile = {
    file: path,
    northDeg: grid.value.northDeg - window[1] * grid.value.stepLatitudeDeg,
    westDeg: grid.value.westDeg + window[0] * grid.value.stepLongitudeDeg,
    stepLatitudeDeg: grid.value.stepLatitudeDeg,
    stepLongitudeDeg: grid.value.stepLongitudeDeg,
    rows,
    columns,
    heightM: inMetres(values.value, header.nodata, grid.value.metresPerUnit),
    voidM: Number.NaN,
    level: grid.value.level,
  }
  return found([tile], [...grid.problems, ...withoutImpossible(tile)])
}

/** The library throws errors of many kinds for what is wrong in a file: only its calls go through here. */
async function orDamaged<T>(read: () => Promise<T>): Promise<Outcome<T>> {
  try {
    return found(await read())
  } catch (error) {
    return failed({
      code: 'tile-damaged',
      message: `the file begins like a TIFF but cannot be read: ${error instanceof Error ? error.message : String(error)}`,
      hint: 'Download it again, or convert it to a plain GeoTIFF.',
    })
  }
}

async function headerOf(image: GeoTIFFImage): Promise<Header> {
  const directory = image.fileDirectory
  const numbers = async (tag: 'ModelPixelScale' | 'ModelTransformation'): Promise<ArrayLike<number> | null> =>
    directory.hasTag(tag) ? ((await directory.loadValue(tag)) as unknown as ArrayLike<number>) : null
  if (directory.hasTag('GDAL_NODATA')) await directory.loadValue('GDAL_NODATA')
  return {
    width: image.getWidth(),
    height: image.getHeight(),
    bands: image.getSamplesPerPixel(),
    keys: image.getGeoKeys() ?? {},
    scale: await numbers('ModelPixelScale'),
    transformation: await numbers('ModelTransformation'),
    tie: (await image.getTiePoints())[0] ?? null,
    nodata: image.getGDALNoData(),
  }
}

/** Nodata is written in decimal: a 32-bit height is compared with what that decimal becomes in 32 bits. */
function inMetres(values: ArrayLike<number>, nodata: number | null, metresPerUnit: number): Float32Array {
  const unknown = nodata === null ? Number.NaN : Math.fround(nodata)
  return Float32Array.from(values, (v) => (Math.fround(v) === unknown ? Number.NaN : v * metresPerUnit))
}

/** The library wants a buffer that begins with the file; a small file of Node's lies within a larger one. */
function exactBuffer({ buffer, byteOffset, byteLength }: Uint8Array): ArrayBuffer {
  const whole = byteOffset === 0 && byteLength === buffer.byteLength
  return (whole ? buffer : buffer.slice(byteOffset, byteOffset + byteLength)) as ArrayBuffer
}

function gridOf(header: Header): Outcome<Grid> {
  const { bands, keys } = header
  if (bands !== 1) {
    return failed({ code: 'tile-bands', message: `found ${bands} bands, expected a single one that holds heights` })
  }
  const model = keys.GTModelTypeGeoKey
  const system = GEOGRAPHIC[Number(keys.GeographicTypeGeoKey)]
  if ((model !== undefined && model !== GEOGRAPHIC_MODEL) || system === undefined) {
    return failed(projectionProblem(keys))
  }
  const unit = Number(keys.VerticalUnitsGeoKey ?? 9001)
  const metresPerUnit = METRES_PER_UNIT[unit]
  if (metresPerUnit === undefined) {
    const message = `the unit of the heights has the EPSG code ${unit}, expected metres (9001) or feet (9002, 9003)`
    return failed({ code: 'tile-unit', message })
  }
  const corner = cornerOf(header)
  if (corner === null) {
    return failed({
      code: 'tile-place',
      message: 'found no place on the map, or one at an angle; expected a tie point and a pixel scale, north up',
    })
  }
  const notes: Problem[] = system.note ? [{ code: 'tile-datum', severity: 'note', message: system.note }] : []
  return found({ ...corner, level: system.level, metresPerUnit }, notes)
}

function projectionProblem(keys: Record<string, unknown>): Omit<Problem, 'severity'> {
  const code = keys.ProjectedCSTypeGeoKey ?? keys.GeographicTypeGeoKey
  const what =
    code === undefined ? 'no coordinate system' : code === 32767 ? 'a coordinate system of its own' : `EPSG:${code}`
  return {
    code: 'tile-projection',
    message: `found ${what}, expected latitude and longitude on WGS 84 (EPSG:4326)`,
    hint: 'Reproject it, for example: gdalwarp -t_srs EPSG:4326 in.tif out.tif',
  }
}

const tooFine = (columns: number, rows: number): Omit<Problem, 'severity'> => ({
  code: 'tile-too-fine',
  message: `found ${columns} × ${rows} heights around the roads, expected at most ${MOST_HEIGHTS}`,
  hint: 'Resample it to 10 to 30 m, for example: gdalwarp -tr 0.0002 0.0002 -r average in.tif out.tif',
})

type Corner = Pick<Grid, 'northDeg' | 'westDeg' | 'stepLatitudeDeg' | 'stepLongitudeDeg'>

/** Place of the first height and the steps; a tie point is a pixel's corner, unless the raster says that pixels are points. */
function cornerOf({ keys, scale, transformation, tie }: Header): Corner | null {
  const half = keys.GTRasterTypeGeoKey === PIXEL_IS_POINT ? 0 : 0.5
  if (scale && tie) {
    const [x, y] = [scale[0], scale[1]]
    return soundCorner(tie.x + (half - tie.i) * x, tie.y - (half - tie.j) * y, x, y)
  }
  if (transformation?.[1] !== 0 || transformation[4] !== 0) return null
  const [x, y] = [transformation[0], -transformation[5]]
  return soundCorner(transformation[3] + half * x, transformation[7] - half * y, x, y)
}

function soundCorner(westDeg: number, northDeg: number, stepLongitudeDeg: number, stepLatitudeDeg: number) {
  const onEarth = Math.abs(northDeg) <= 91 && Math.abs(westDeg) <= 361
  return onEarth && stepLongitudeDeg > 0 && stepLatitudeDeg > 0
    ? { northDeg, westDeg, stepLatitudeDeg, stepLongitudeDeg }
    : null
}

/** Columns and rows (left, top, right, bottom; the last two not included) around a box; null where they do not meet. */
function windowOf({ width, height }: Header, grid: Grid, box: Box): [number, number, number, number] | null {
  const { northDeg, westDeg, stepLatitudeDeg, stepLongitudeDeg } = grid
  const covered: Box = {
    northDeg: northDeg + stepLatitudeDeg / 2,
    southDeg: northDeg - (height - 0.5) * stepLatitudeDeg,
    westDeg: westDeg - stepLongitudeDeg / 2,
    eastDeg: westDeg + (width - 0.5) * stepLongitudeDeg,
  }
  if (!overlaps(covered, box)) return null
  const within = (value: number, least: number, most: number): number => Math.min(most, Math.max(least, value))
  const left = within(Math.floor((box.westDeg - westDeg) / stepLongitudeDeg), 0, width - 1)
  const top = within(Math.floor((northDeg - box.northDeg) / stepLatitudeDeg), 0, height - 1)
  const right = within(Math.ceil((box.eastDeg - westDeg) / stepLongitudeDeg) + 1, left + 1, width)
  const bottom = within(Math.ceil((northDeg - box.southDeg) / stepLatitudeDeg) + 1, top + 1, height)
  return [left, top, right, bottom]
}
