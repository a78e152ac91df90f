import type { FetchedFolder } from '../../fetch/fetched-folder.ts'
import { fetchTerrain, TERRAIN, wantedTiles } from '../../fetch/terrain/fetch-terrain.ts'
import { cornerName, type Square } from '../../fetch/terrain/squares.ts'
import { listed } from '../../report/words.ts'
import type { Part } from './part.ts'

/** Terrain along the roads, from one source. */
export function terrainPart(squares: readonly Square[], source: string, folder: FetchedFolder, nowS: number): Part {
  const { service, requestFor } = TERRAIN[source]
  const wanted = wantedTiles(squares, source, folder, nowS)
  const names = wanted.map(({ southDeg, westDeg }) => cornerName(southDeg, westDeg))
  const asks = wanted.map(requestFor)
  return {
    folder,
    told:
      wanted.length === 0
        ? ['Terrain: the tiles along the roads are there already.']
        : [
            `Terrain: ${listed(names)}, from ${service.name} (${service.host}). Licence: ${service.licence}. UNTRIED: built from its description, never held against a real answer.`,
            'Told to this host: the square degrees that the roads touch, and the program’s name and version.',
          ],
    addresses: asks.map(({ url }) => url),
    // Of a file of GLO-30 some dozen ranges are read.
    requests: source === 'glo-30' ? 12 * wanted.length : wanted.length,
    bytes: asks.reduce((sum, { roughBytes }) => sum + roughBytes, 0),
    run: (gathering) => fetchTerrain(wanted, source, folder, gathering),
    gaps: async () => [],
  }
}
