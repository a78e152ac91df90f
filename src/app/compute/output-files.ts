import { sha256, toHex } from '../../base/platform.ts'
import type { CampaignResult } from '../../campaign/campaign-result.ts'
import { reportTexts } from '../../campaign/report/report-texts.ts'
import { LIST_NAME, listText, type WrittenFile } from '../../report/report-list.ts'
import { pairsCsv, pairsFileName } from '../../report/tables.ts'
import type { Doing } from './campaign-in-memory.ts'
import { cardFiles } from './card-files.ts'
import type { OutputFile } from './compute.ts'

/**
 * All files that `ceteris report` writes for the same report, with the list of them by which the command line knows the
 * folder for its own. The texts and the SVGs have the same bytes.
 */
export async function outputFiles(
  result: CampaignResult,
  { onProgress, pause }: Pick<Doing, 'onProgress' | 'pause'>,
): Promise<OutputFile[]> {
  const cards = cardFiles(result.report)
  const paths = cards.map(([path]) => path)
  const texts = Object.entries(reportTexts(result, undefined, paths))
  const files = [...texts.map(([path, text]) => ({ path, content: new Blob([text]) })), await pairsFile(result)]
  for (const [i, [path, content]] of cards.entries()) {
    onProgress({ step: 'writing', done: i, total: cards.length })
    await pause()
    files.push({ path, content: await content() })
  }
  return [...files, await listOf(files)]
}

async function pairsFile({ allPairs, pairCount }: CampaignResult): Promise<OutputFile> {
  const path = pairsFileName(pairCount)
  const plain = new Blob([...pairsCsv(allPairs)])
  if (path === 'pairs.csv') return { path, content: plain }
  return { path, content: await new Response(plain.stream().pipeThrough(new CompressionStream('gzip'))).blob() }
}

async function listOf(files: OutputFile[]): Promise<OutputFile> {
  const list = new Map<string, WrittenFile>()
  for (const { path, content } of files) {
    const digest = toHex(sha256(new Uint8Array(await content.arrayBuffer())))
    list.set(path, { sizeBytes: content.size, sha256: digest })
  }
  return { path: LIST_NAME, content: new Blob([listText(list)]) }
}
