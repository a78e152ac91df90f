import type { Problem } from '../../base/problem.ts'
import { type Box, overlaps, type TerrainTile } from './types.ts'

/**
 * Some height files hold the depth of the sea in place of nothing. Land that lies deeper than this is rare and listed; the
 * deepest polders of the Netherlands are at -7 m.
 */
const DEEPEST_COMMON_LAND_M = -15

/** The Challenger Deep lies at -10,935 m; what is far below is damage, and told as such elsewhere. */
const DEEPEST_SEA_M = -11_500

/** Land below -15 m, in boxes of degrees: south, west, north, east. From memory, rounded outwards. */
const DEEP_LAND: readonly Box[] = [
  [36, 46, 49, 56], // around the Caspian Sea
  [29, 34, 34, 37], // Jordan valley, Dead Sea, Wadi Araba
  [32, -120, 38, -114], // Death Valley, Imperial Valley
  [9, 39, 16, 44], // Danakil, Lake Assal
  [25, 24, 32, 32], // Qattara, Siwa, Fayyum
  [32, 5, 36, 11], // Chott Melrhir
  [41, 87, 45, 92], // Turpan
  [-51, -71, -40, -62], // Patagonia
  [-31, 134, -26, 140], // Lake Eyre
].map(([southDeg, westDeg, northDeg, eastDeg]) => ({ southDeg, westDeg, northDeg, eastDeg }))

/** Takes depths of the sea out of a tile of whole metres: they become "not known". */
export function withoutSea(tile: TerrainTile): Problem[] {
  const box = {
    northDeg: tile.northDeg,
    southDeg: tile.northDeg - (tile.rows - 1) * tile.stepLatitudeDeg,
    westDeg: tile.westDeg,
    eastDeg: tile.westDeg + (tile.columns - 1) * tile.stepLongitudeDeg,
  }
  if (DEEP_LAND.some((land) => overlaps(land, box))) return []
  const { heightM, voidM } = tile
  let count = 0
  for (let i = 0; i < heightM.length; i++) {
    if (heightM[i] === voidM || !(heightM[i] < DEEPEST_COMMON_LAND_M && heightM[i] > DEEPEST_SEA_M)) continue
    heightM[i] = voidM
    count++
  }
  if (count === 0) return []
  const message = `${count} of ${heightM.length} heights lie below ${DEEPEST_COMMON_LAND_M} m, where no land does: they are depths of the sea, and are taken as not known`
  return [{ code: 'tile-sea', severity: 'note', message }]
}
