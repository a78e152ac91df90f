import { gunzip } from '../../base/platform.ts'
import { textOf } from '../get/answer-kinds.ts'
import type { Ask, Service, Verdict } from '../types.ts'
import { cornerName, pad, type Square } from './squares.ts'

const HOST = 'elevation-tiles-prod.s3.amazonaws.com'
/** 3601 × 3601 heights of two bytes. */
const UNPACKED_BYTES = 25_934_402

/**
 * Height files of one second of arc, gathered from many sources; they lie above EGM96.
 * @source tilezen/joerd, docs/formats.md and docs/attribution.md (its words from memory)
 */
export const skadi: Service = {
  id: 'skadi',
  name: 'Terrain tiles (skadi), one second of arc',
  host: HOST,
  licence: 'of the sources, all free to use with this attribution',
  credit:
    'Terrain tiles by Mapzen: ArcticDEM, © NSF and NGA; Australia © Commonwealth of Australia (Geoscience Australia) 2017; Austria © offene Daten Österreichs, DGM Österreich; Canada, Open Government Licence Canada; Europe, Copernicus data and information funded by the European Union, EU-DEM layers; ETOPO1, U.S. National Oceanic and Atmospheric Administration; Mexico, INEGI, Continental relief, 2016; New Zealand © 2011 Crown copyright, Land Information New Zealand; Norway © Kartverket; United Kingdom © Environment Agency copyright and/or database right 2015; United States 3DEP, GMTED2010 and SRTM courtesy of the U.S. Geological Survey',
  kind: 'observed',
  triedOn: 'synthetic',
  pauseMs: 500,
  hasIndex: true,
  byDefault: false,
  covers: () => true,
  pages: () => [],
  stations: () => [],
  requestsFor: () => [],
  check: (_, bytes) => checkTile(bytes),
}

function checkTile(bytes: Uint8Array): Verdict {
  if (bytes.length === 0) return { state: 'broken', why: 'the answer is empty' }
  if (bytes[0] !== 0x1f || bytes[1] !== 0x8b) {
    return { state: 'wrong', why: `the answer is no packed height file: “${textOf(bytes.subarray(0, 60))}”` }
  }
  const found = gunzip(bytes, UNPACKED_BYTES)
  if (typeof found === 'string' || !found.isWhole)
    return { state: 'broken', why: 'the height file was cut off or damaged' }
  if (found.bytes.length === UNPACKED_BYTES) return { state: 'whole' }
  return { state: 'wrong', why: `the height file has ${found.bytes.length} bytes, expected ${UNPACKED_BYTES}` }
}

/** What to ask for a square degree. */
export function skadiRequest({ southDeg, westDeg }: Square): Ask {
  const name = cornerName(southDeg, westDeg)
  return {
    service: 'skadi',
    purpose: 'terrain',
    url: `https://${HOST}/skadi/${southDeg < 0 ? 'S' : 'N'}${pad(southDeg, 2)}/${name}.hgt.gz`,
    file: `${name}.hgt.gz`,
    about: `terrain ${name}`,
    station: null,
    span: null,
    roughBytes: 9_000_000,
  }
}
