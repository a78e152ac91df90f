import { type FetchedFolder, heldOf, keepAnswer } from '../fetched-folder.ts'
import { type Fetched, fetchOne, type Gathering } from '../gather.ts'
import type { Ask, Service } from '../types.ts'
import { glo30, glo30Part, glo30Request } from './glo30.ts'
import { skadi, skadiRequest } from './skadi.ts'
import type { Square } from './squares.ts'

/** Sources of terrain, by the names of the option. */
export const TERRAIN: Record<string, { service: Service; requestFor: (square: Square) => Ask }> = {
  skadi: { service: skadi, requestFor: skadiRequest },
  'glo-30': { service: glo30, requestFor: glo30Request },
}

/** Tiles that are not there yet. */
export const wantedTiles = (
  squares: readonly Square[],
  source: string,
  folder: FetchedFolder,
  nowS: number,
): Square[] => squares.filter((square) => heldOf(folder, TERRAIN[source].requestFor(square), nowS) === null)

/** Fetches tiles, one after the other. */
export async function fetchTerrain(
  squares: readonly Square[],
  source: string,
  folder: FetchedFolder,
  gathering: Gathering,
): Promise<Fetched[]> {
  const { service, requestFor } = TERRAIN[source]
  const all: Fetched[] = []
  for (const square of squares) {
    const ask = requestFor(square)
    const fetched =
      service === glo30
        ? await fetchPart(square, ask, folder, gathering)
        : await fetchOne(ask, service, folder, gathering)
    all.push(fetched)
  }
  return all
}

async function fetchPart(square: Square, ask: Ask, folder: FetchedFolder, gathering: Gathering): Promise<Fetched> {
  const reply = await glo30Part(square, ask, gathering.asker)
  const fetched = { ask, ...settled() }
  gathering.told(fetched)
  return fetched

  function settled(): Omit<Fetched, 'ask'> {
    if (reply.state === 'capped') return { result: 'left', why: reply.why, bytes: 0 }
    if (reply.state === 'failed' && reply.status === 404) return { result: 'nothing', why: NO_TILE, bytes: 0 }
    if (reply.state !== 'whole') return { result: 'failed', why: 'why' in reply ? reply.why : null, bytes: 0 }
    const terms = { serviceName: glo30.name, licence: glo30.licence, credit: glo30.credit }
    const refusal = keepAnswer(folder, ask, reply.answer, terms, gathering.clockS())
    return refusal === null
      ? { result: 'written', why: null, bytes: reply.answer.bytes.length }
      : { result: 'not-written', why: refusal, bytes: 0 }
  }
}

const NO_TILE = 'there is no such tile: sea, or a country whose heights are not released'
