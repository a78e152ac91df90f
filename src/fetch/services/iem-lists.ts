import { z } from 'zod'
import { REACH } from '../../air/blend.ts'
import { type Box, overlaps } from '../../read/terrain/types.ts'
import type { Airport, Ask, Candidate, Where } from '../types.ts'
import { boxOf } from '../where.ts'
import { page as pageOf, parsedJson as parsed } from './lists.ts'

export const IEM_HOST = 'mesonet.agron.iastate.edu'
const NETWORKS = 'iem_networks.json'

/** More networks than these meet near no road. */
const MOST_NETWORKS = 8

const table = <T extends z.ZodType>(row: T) => z.object({ data: z.array(row) })
const networks = table(z.object({ id: z.string(), name: z.string(), extent: z.string().nullable() }))
const stations = table(
  z.object({
    id: z.string(),
    name: z.string().nullable(),
    latitude: z.number().nullable(),
    longitude: z.number().nullable(),
    elevation: z.number().nullable(),
    archive_begin: z.string().nullable(),
    archive_end: z.string().nullable(),
  }),
)

/** First the list of networks, then those whose extent meets the surroundings of the roads. */
export function iemPages(where: Where, _: number, have: ReadonlyMap<string, string>): Ask[] {
  const list = have.get(NETWORKS)
  const all = page('networks.json', NETWORKS, 'list of networks', 400_000)
  return list === undefined ? [all] : [all, ...networksNear(list, where).map(networkPage)]
}

const networkPage = ({ id, name }: { id: string; name: string }): Ask =>
  page(`network/${id}.json`, `iem_network_${id}.json`, `stations of ${name}`, 200_000)

const page = (path: string, file: string, about: string, roughBytes: number): Ask =>
  pageOf('iem', `https://${IEM_HOST}/api/1/${path}`, file, about, roughBytes)

function networksNear(text: string, where: Where): { id: string; name: string }[] {
  const read = networks.safeParse(parsed(text))
  if (!read.success) return []
  const around = boxOf(where.cells, REACH.distanceM)
  const near = read.data.data.filter(({ id, extent }) => {
    const box = /_ASOS$/.test(id) && /^[A-Z]/.test(id) && extent !== null ? extentBox(extent) : null
    return box !== null && overlaps(box, around)
  })
  return near.slice(0, MOST_NETWORKS)
}

/**
 * Stations of the lists that were read; of the program's own index where there is none yet. Those of the index are
 * airports that may report elsewhere or not at all.
 */
export function iemStations(pages: ReadonlyMap<string, string>, airports: readonly Airport[]): Candidate[] {
  const lists = [...pages].filter(([file]) => file.startsWith('iem_network_'))
  const read = lists.flatMap(([, text]) => stations.safeParse(parsed(text)).data?.data ?? [])
  if (read.length === 0) return airports.map(airportCandidate)
  return read.flatMap(({ id, latitude, longitude, elevation, archive_begin, archive_end }) => {
    if (latitude === null || longitude === null || !/^[A-Z0-9_]{3,4}$/.test(id)) return []
    const icao = /^[A-Z0-9]{3}$/.test(id) ? `K${id}` : id
    const place = { latitude, longitude, elevationM: elevation ?? Number.NaN }
    const since = secondsOf(archive_begin, Number.NEGATIVE_INFINITY)
    const until = secondsOf(archive_end, Number.POSITIVE_INFINITY)
    return [{ service: 'iem', id, name: icao, alias: icao, ...place, since, until }]
  })
}

const airportCandidate = ({ icao, latitude, longitude, elevationM }: Airport): Candidate => ({
  service: 'iem',
  // In the United States codes have three letters there: KDSM is DSM.
  id: /^K[A-Z0-9]{3}$/.test(icao) ? icao.slice(1) : icao,
  name: icao,
  latitude,
  longitude,
  elevationM,
  alias: icao,
  since: Number.NEGATIVE_INFINITY,
  until: Number.POSITIVE_INFINITY,
})

function secondsOf(date: string | null, otherwise: number): number {
  const at = date === null ? Number.NaN : Date.parse(date) / 1000
  return Number.isNaN(at) ? otherwise : at
}

/**
 * The box around a polygon in hexadecimal well-known binary; null where it is none.
 * @source OGC 06-103r4, Simple feature access, 8.2 (well-known binary); PostGIS manual, 4.1.3 (EWKB: a flag says that the
 *   number of the reference system follows)
 */
export function extentBox(hex: string): Box | null {
  if (!/^01([0-9a-f]{2})+$/i.test(hex)) return null
  const bytes = Uint8Array.from(hex.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16))
  const view = new DataView(bytes.buffer)
  if (bytes.length < 17) return null
  const type = view.getUint32(1, true)
  if ((type & 0xff) !== 3) return null
  const from = type & 0x20000000 ? 9 : 5
  const box = { southDeg: 90, westDeg: 180, northDeg: -90, eastDeg: -180 }
  for (let at = from + 8; at + 16 <= bytes.length; at += 16) {
    const [x, y] = [view.getFloat64(at, true), view.getFloat64(at + 8, true)]
    box.westDeg = Math.min(box.westDeg, x)
    box.eastDeg = Math.max(box.eastDeg, x)
    box.southDeg = Math.min(box.southDeg, y)
    box.northDeg = Math.max(box.northDeg, y)
  }
  return box
}
