import { type InputFile, type MappedFile, mapFile } from '../pipeline/map-file.ts'

/** The worker's entry: the map step for one file. */
export default function mapInWorker(file: InputFile): MappedFile {
  return mapFile(file)
}
