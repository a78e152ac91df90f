import type { StationKnowledge } from '../../air/series.ts'
import { heightFromNeighbours } from '../../air/station-height.ts'
import type { TerrainTile } from '../../read/terrain/types.ts'
import type { StationList } from '../../read/weather/stations/stations.ts'
import { heightAt } from '../../road/terrain.ts'

/** A station stands a kilometre or two from the place that lists state for it; common practice, no source. */
const TERRAIN_SD_M = 15

/** What is known of stations that their files do not say: places by code, and heights from terrain, else from neighbours. */
export function stationKnowledge({ find, all }: StationList, tiles: readonly TerrainTile[] = []): StationKnowledge {
  return {
    find,
    heightAt: (latitude, longitude) => {
      for (const tile of tiles) {
        const elevationM = tile.level === 'geoid' ? heightAt(tile, latitude, longitude) : Number.NaN
        if (!Number.isNaN(elevationM)) return { elevationM, elevationSdM: TERRAIN_SD_M, from: 'terrain' }
      }
      return heightFromNeighbours(latitude, longitude, all())
    },
  }
}
