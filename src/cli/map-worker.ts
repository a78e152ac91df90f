import Tinypool from 'tinypool'
import { buffersOf, type InputFile, mapFile } from '../pipeline/map-file.ts'

/** The worker's entry: the map step for one file. Its columns are handed over, not copied. */
export default function mapInWorker(file: InputFile): unknown {
  const mapped = mapFile(file)
  const handedOver = { [Tinypool.transferableSymbol]: buffersOf(mapped), [Tinypool.valueSymbol]: mapped }
  return Tinypool.move(handedOver as unknown as Parameters<typeof Tinypool.move>[0])
}
