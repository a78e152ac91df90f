import type { GeoTIFFImage, TypedArray } from 'geotiff'
import { present } from '../../base/present.ts'
import type { Asker, Reply } from '../get/ask.ts'
import type { Answer, Ask, Service } from '../types.ts'
import { cornerName, pad, type Square } from './squares.ts'

const HOST = 'copernicus-dem-30m.s3.amazonaws.com'
/** Around the roads, in heights. */
const MARGIN = 8
/** A file is asked for in pieces of so many bytes. */
const PIECE_BYTES = 65_536

/**
 * The Copernicus surface model of 30 m, above EGM2008; trees, bridges and buildings are in it. Of each file only the
 * blocks around the roads are read, by ranges.
 * @source copernicus-dem-30m on AWS (readme), Copernicus DEM product handbook; the credit's words from memory
 */
export const glo30: Service = {
  id: 'glo-30',
  name: 'Copernicus GLO-30 surface model',
  host: HOST,
  licence: 'Copernicus DEM licence, free of charge',
  credit:
    '© DLR e.V. 2010-2014 and © Airbus Defence and Space GmbH 2014-2018 provided under COPERNICUS by the European Union and ESA; all rights reserved',
  kind: 'observed',
  triedOn: 'synthetic',
  pauseMs: 200,
  hasIndex: true,
  byDefault: false,
  covers: () => true,
  pages: () => [],
  stations: () => [],
  requestsFor: () => [],
  check: (_, bytes) => (bytes.length > 0 ? { state: 'whole' } : { state: 'broken', why: 'the answer is empty' }),
}

/** What to ask for a square degree: its file, of which parts are read. In its name 10 is for tenths of a second of arc. */
export function glo30Request({ southDeg, westDeg }: Square): Ask {
  const [south, west] = [
    `${southDeg < 0 ? 'S' : 'N'}${pad(southDeg, 2)}`,
    `${westDeg < 0 ? 'W' : 'E'}${pad(westDeg, 3)}`,
  ]
  const name = `Copernicus_DSM_COG_10_${south}_00_${west}_00_DEM`
  return {
    service: 'glo-30',
    purpose: 'terrain',
    url: `https://${HOST}/${name}/${name}.tif`,
    file: `${name}_part.tif`,
    about: `terrain ${cornerName(southDeg, westDeg)}`,
    station: null,
    span: null,
    roughBytes: 6_000_000,
  }
}

/**
 * Reads the heights around the roads by ranges of the file, and makes a plain GeoTIFF of them.
 * @returns the part as an answer; or what failed
 */
export async function glo30Part(square: Square, ask: Ask, asker: Asker): Promise<Reply> {
  const { fromCustomClient, writeArrayBuffer } = await import('geotiff')
  const client = rangeClient(ask.url, asker)
  try {
    const source = { blockSize: PIECE_BYTES, maxRanges: 0, allowFullFile: false }
    const tiff = await fromCustomClient(client as unknown as Parameters<typeof fromCustomClient>[0], source)
    const image = await tiff.getImage(0)
    const window = windowAround(square, image)
    const heights = (await image.readRasters({ window, interleave: true })) as TypedArray
    const [west, , , north] = image.getBoundingBox()
    const [stepX, stepY] = image.getResolution()
    const bytes = writeArrayBuffer(Float32Array.from(heights), {
      width: window[2] - window[0],
      height: window[3] - window[1],
      BitsPerSample: [32],
      SampleFormat: [3],
      SamplesPerPixel: 1,
      ModelTiepoint: [0, 0, 0, west + window[0] * stepX, north - window[1] * Math.abs(stepY), 0],
      ModelPixelScale: [stepX, Math.abs(stepY), 0],
      GTModelTypeGeoKey: 2,
      GTRasterTypeGeoKey: 1,
      GeographicTypeGeoKey: 4326,
    } as Parameters<typeof writeArrayBuffer>[1])
    return { state: 'whole', answer: { status: 206, headers: client.headers(), bytes: new Uint8Array(bytes) } }
  } catch (error) {
    const failure = client.failure()
    if (failure !== null) return failure
    const why = `its file could not be read: ${error instanceof Error ? error.message : String(error)}`
    return { state: 'failed', why, status: null, again: false }
  }
}

/** Columns and rows around the roads, with a margin. */
function windowAround({ around }: Square, image: GeoTIFFImage): [number, number, number, number] {
  const [west, south, east, north] = image.getBoundingBox()
  const [width, height] = [image.getWidth(), image.getHeight()]
  const column = (longitude: number): number => ((longitude - west) / (east - west)) * width
  const row = (latitude: number): number => ((north - latitude) / (north - south)) * height
  const within = (value: number, most: number): number => Math.min(most, Math.max(0, value))
  const left = within(Math.floor(column(around.westDeg)) - MARGIN, width - 2)
  const top = within(Math.floor(row(around.northDeg)) - MARGIN, height - 2)
  const right = within(Math.ceil(column(around.eastDeg)) + MARGIN, width)
  const bottom = within(Math.ceil(row(around.southDeg)) + MARGIN, height)
  return [left, top, Math.max(right, left + 2), Math.max(bottom, top + 2)]
}

/** The client that the library reads through: each range is one question, one after the other. */
function rangeClient(url: string, asker: Asker) {
  let failed: Reply | null = null
  let lastHeaders: Record<string, string> = {}
  let queue: Promise<unknown> = Promise.resolve()
  const answerOf = async (header: string): Promise<Answer> => {
    const [first, last] = present(/^bytes=(\d+)-(\d+)$/.exec(header))
      .slice(1)
      .map(Number)
    if (failed !== null) throw new Error('given up')
    const reply = await asker({
      url,
      hosts: [HOST],
      pauseMs: glo30.pauseMs,
      known: null,
      range: [first, last],
      check: (bytes) =>
        bytes.length > 0 && bytes.length <= last - first + 1
          ? { state: 'whole' }
          : { state: 'broken', why: `a range of ${last - first + 1} bytes was answered with ${bytes.length}` },
    })
    if (reply.state === 'whole') {
      lastHeaders = reply.answer.headers
      return reply.answer
    }
    failed = reply
    throw new Error('given up')
  }
  return {
    url,
    headers: () => lastHeaders,
    failure: () => failed,
    request: async ({ headers }: { headers?: Record<string, string> } = {}) => {
      const answering = queue.then(() => answerOf(headers?.Range ?? ''))
      queue = answering.catch(() => null)
      const answer = await answering
      return {
        ok: true,
        status: 206,
        getHeader: (name: string) => answer.headers[name.toLowerCase()],
        getData: async () => answer.bytes.slice().buffer,
      }
    },
  }
}
