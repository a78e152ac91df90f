import type { Problem } from '../../base/problem.ts'
import { isArchive, membersOf } from '../../read/archive.ts'
import { readGeoTiff } from '../../read/terrain/geotiff.ts'
import { hgtBox, isHgtName, readHgt } from '../../read/terrain/hgt.ts'
import { type Box, overlaps, type TerrainTile } from '../../read/terrain/types.ts'
import type { InputFile, MappedFile } from './map-file.ts'
import type { Run } from './runs.ts'

/** What is read around a run's positions, degrees: a smoothed path may pass a little outside its fixes. */
const MARGIN_DEG = 0.002

/** The terrain around the roads of a campaign. */
export interface Terrain {
  /** The finest first. */
  tiles: TerrainTile[]
  problems: Problem[]
  /** Path of a tile's file → what was done with it, for the list of inputs. */
  notes: Map<string, string[]>
}

/** Reads the terrain tiles of a folder, of each no more than what lies around the runs. */
export async function terrainOf(files: InputFile[], mapped: MappedFile[], runs: Run[]): Promise<Terrain> {
  const terrain: Terrain = { tiles: [], problems: [], notes: new Map() }
  const paths = new Set(mapped.filter((f) => f.kind === 'elevation').map((f) => f.path))
  if (paths.size === 0) return terrain
  const boxes = boxesOf(runs)
  for (const file of files
    .flatMap(withMembers)
    .filter((f) => paths.has(f.path))
    .sort((a, b) => (a.path < b.path ? -1 : 1))) {
    const { tiles, problems } = await tilesOf(file, boxes)
    terrain.tiles.push(...tiles)
    terrain.problems.push(...problems.map((p) => ({ ...p, file: file.path })))
    const failed = problems.some((p) => p.severity === 'error')
    if (!failed)
      terrain.notes.set(file.path, [tiles.length > 0 ? noteOf(tiles[0]) : 'no drive passes over it: not read'])
  }
  terrain.tiles.sort((a, b) => a.stepLatitudeDeg - b.stepLatitudeDeg)
  return terrain
}

/** A file, or the files in an archive, under the names that the map step gave them. */
function withMembers(file: InputFile): InputFile[] {
  if (!isArchive(file.bytes, file.path)) return [file]
  return (membersOf(file.bytes).value ?? []).map(({ name, bytes }) => ({
    ...file,
    path: `${file.path}#${name}`,
    bytes,
  }))
}

function noteOf({ stepLatitudeDeg, level }: TerrainTile): string {
  const seconds = Number((3600 * stepLatitudeDeg).toPrecision(2))
  return `terrain heights ${seconds} seconds of arc apart, above the ${level}`
}

async function tilesOf(file: InputFile, boxes: Box[]): Promise<{ tiles: TerrainTile[]; problems: Problem[] }> {
  const tiles: TerrainTile[] = []
  const problems: Problem[] = []
  if (isHgt(file)) {
    const box = hgtBox(file.path)
    if (box !== null && !boxes.some((b) => overlaps(b, box))) return { tiles, problems }
    const read = readHgt(file.bytes, file.path)
    return { tiles: read.value ? [read.value] : [], problems: read.problems }
  }
  for (const box of boxes) {
    const read = await readGeoTiff(file.bytes, file.path, box)
    tiles.push(...(read.value ?? []))
    for (const p of read.problems) if (!problems.some((q) => q.message === p.message)) problems.push(p)
    if (read.value === null) break
  }
  return { tiles, problems }
}

/** A height file by its name; a TIFF begins with its byte order, which no name can change. */
const isHgt = ({ path, bytes }: InputFile): boolean =>
  isHgtName(path) || !((bytes[0] === 0x49 && bytes[1] === 0x49) || (bytes[0] === 0x4d && bytes[1] === 0x4d))

/** Boxes around the runs, those that meet made one. */
function boxesOf(runs: Run[]): Box[] {
  const apart: Box[] = []
  for (const { drive } of runs) {
    let box = wider(drive.box)
    for (;;) {
      const met = apart.findIndex((other) => overlaps(other, box))
      if (met < 0) break
      box = around(box, apart.splice(met, 1)[0])
    }
    apart.push(box)
  }
  return apart
}

const wider = (box: Box): Box => ({
  southDeg: box.southDeg - MARGIN_DEG,
  northDeg: box.northDeg + MARGIN_DEG,
  westDeg: box.westDeg - MARGIN_DEG,
  eastDeg: box.eastDeg + MARGIN_DEG,
})

const around = (a: Box, b: Box): Box => ({
  southDeg: Math.min(a.southDeg, b.southDeg),
  westDeg: Math.min(a.westDeg, b.westDeg),
  northDeg: Math.max(a.northDeg, b.northDeg),
  eastDeg: Math.max(a.eastDeg, b.eastDeg),
})
