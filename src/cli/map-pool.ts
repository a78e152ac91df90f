import { Tinypool } from 'tinypool'
import { type InputFile, type MappedFile, mapFile } from '../pipeline/map-file.ts'

/** Below this many bytes in all, starting workers takes longer than they save. */
const WORTH_WORKERS_BYTES = 32 * 1024 * 1024

/** The map step over all files in the order given, by as many workers as asked for where that is worth while. */
export async function mapAll(
  files: InputFile[],
  jobs: number,
  worthBytes = WORTH_WORKERS_BYTES,
): Promise<MappedFile[]> {
  const bytes = files.reduce((sum, file) => sum + file.bytes.byteLength, 0)
  if (jobs < 2 || files.length < 2 || bytes < worthBytes) return files.map(mapFile)
  const pool = new Tinypool({
    filename: new URL('./map-worker.js', import.meta.url).href,
    minThreads: 1,
    maxThreads: Math.min(jobs, files.length),
  })
  try {
    return await Promise.all(files.map((file): Promise<MappedFile> => pool.run(file)))
  } finally {
    await pool.destroy()
  }
}
