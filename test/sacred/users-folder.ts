import { spawnSync } from 'node:child_process'
import { chmodSync, cpSync, mkdirSync, readFileSync, renameSync, symlinkSync, utimesSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { ceteris, ceterisIn, folderWith, STEADY_WEATHER, shortCampaign } from '../cli/command.ts'
import { treeOf } from '../tools/tree.ts'

export const QUICK = ['--draws', '50', '--cards', 'none', '--no-cache', '--jobs', '1']

/** What a user may have lying about, much of it called like something of ours; notes and pictures in a report too. */
const USERS_FILES: Record<string, string> = {
  'notes.md': '# my notes\n',
  'windows.svg': '<svg xmlns="http://www.w3.org/2000/svg"><title>drawn by hand</title></svg>\n',
  'records.jsonl': '{"schema":"ceteris-record/1","made_by":"me"}\nand a line of mine\n',
  'zero.jsonl': '',
  'photos/IMG_0001.jpg': '\u0000\u0001 not a real picture',
  'photos/thesis.txt': 'forty years\n',
  'photos/.hidden': 'kept\n',
  'results/photo.jpg': 'holiday',
  'my-test/notes.md': 'tyres at 2.4 bar\n',
  'my-test/empty.txt': '',
  'my-test/report.md': 'what I wrote myself\n',
  'my-test/.hidden': 'x',
  'my-test/.report.old-20240501/thesis.txt': 'mine',
  'my-test/.report.new-4194305/thesis.txt': 'mine',
  'my-test/.ceteris-writing-mine/old-1/thesis.txt': 'mine',
  '.results.old-20240501/thesis.txt': 'mine',
  'report/holiday.jpg': 'a report of my own kind',
}

/** Files of a user inside a report of the program. */
const IN_A_REPORT: Record<string, string> = {
  'my-notes.md': 'mine\n',
  '.DS_Store': '\u0000\u0000\u0000\u0001Bud1',
  'cards/mine.png': '',
  'deep/er/photo.jpg': 'x',
}

const FORECAST = STEADY_WEATHER.replaceAll('2024-05-03', '2024-05-04')

/** A user's folder as it is before anything happens; one call of the program makes the reports in it. */
export function usersFolder(path: string): string {
  shortCampaign(join(path, 'my-test'))
  folderWith(path, { ...USERS_FILES, 'forecast.csv': FORECAST })
  const printed = ceteris('report', join(path, 'my-test'), ...QUICK, '--out', join(path, 'earlier'), '--json').stdout
  for (const place of ['results', 'my-test/may', 'my-test']) folderWith(join(path, place), { 'report.json': printed })
  folderWith(join(path, 'my-test/may'), { 'june.gpx': readFileSync(join(path, 'my-test/tracks/monday.gpx'), 'utf8') })
  folderWith(join(path, 'earlier'), IN_A_REPORT)
  mkdirSync(join(path, 'earlier/empty'), { mode: 0o700 })
  symlinkSync('../notes.md', join(path, 'earlier/link.md'))
  // One that somebody has written into, and one whose list was lost in copying.
  for (const copy of ['edited', 'unlisted']) cpSync(join(path, 'earlier'), join(path, copy), { recursive: true })
  writeFileSync(join(path, 'edited/runs.csv'), 'with my remarks\n')
  renameSync(join(path, 'unlisted/.ceteris-report.json'), join(path, 'unlisted/list.json'))
  ceteris('batch', 'map', join(path, 'my-test'), '--root', join(path, 'my-test'), '--out', join(path, 'map.jsonl'))
  symlinkSync('my-test', join(path, 'link-to-test'))
  symlinkSync('my-test/tracks', join(path, 'link-to-tracks'))
  symlinkSync('notes.md', join(path, 'link-to-notes.svg'))
  symlinkSync('nowhere', join(path, 'link-to-nothing'))
  symlinkSync('../photos', join(path, 'my-test/link-out'))
  spawnSync('mkfifo', [join(path, 'pipe')])
  chmodSync(join(path, 'notes.md'), 0o440)
  chmodSync(join(path, 'photos'), 0o750)
  for (const name of ['notes.md', 'photos/thesis.txt', 'earlier/my-notes.md']) utimesSync(join(path, name), 1e9, 1e9)
  return path
}

/** A copy of a user's folder, times and links included. */
export function copyOf(folder: string, place: string): string {
  // Not cpSync, which knows no pipes.
  spawnSync('cp', ['-a', folder, place])
  return place
}

/** Where a report of the program lies in the folder, and with it files that the next report may replace. */
const REPORTS = ['earlier', 'edited']

/** What the program wrote itself there, and may therefore replace. */
export function isOurs(folder: string): (path: string) => boolean {
  const ours = REPORTS.flatMap((name) => {
    const { files } = JSON.parse(readFileSync(join(folder, name, '.ceteris-report.json'), 'utf8'))
    const paths = files.map((file: { path: string }) => file.path)
    return [...paths, '.ceteris-report.json'].map((path) => `${name}/${path}`)
  })
  // That one was changed by hand.
  const set = new Set(ours.filter((path) => path !== 'edited/runs.csv'))
  return (path) => set.has(path) || path === 'map.jsonl'
}

/** What a call did to a user's files: nothing, if all is well. */
export function harmDone(before: Record<string, string>, folder: string, ours: (path: string) => boolean): string[] {
  const after = treeOf(folder)
  return Object.keys(before)
    .filter((path) => !ours(path) && before[path] !== after[path])
    .map((path) => `${path}: ${before[path]} became ${after[path] ?? 'nothing'}`)
}

/** Every plausible wrong place, and some right ones, seen from the folder. */
export const PLACES = [
  '.',
  '..',
  '/',
  'my-test',
  'my-test/tracks',
  'my-test/tracks/monday.gpx',
  'my-test/weather',
  'my-test/runs.csv',
  'my-test/report',
  'my-test/report.json',
  'my-test/empty.txt',
  'my-test/may',
  'my-test/new/deep',
  'my-test/link-out',
  'my-test/link-out/below',
  'link-to-test',
  'link-to-test/tracks',
  'link-to-tracks',
  'link-to-notes.svg',
  'link-to-nothing',
  'notes.md',
  'notes.md/below',
  'photos',
  'photos/new',
  'photos/IMG_0001.jpg',
  'report',
  'results',
  'results/report.json',
  'earlier',
  'earlier/cards',
  'earlier/report.json',
  'earlier/my-notes.md',
  'edited',
  'unlisted',
  'windows.svg',
  'records.jsonl',
  'zero.jsonl',
  'map.jsonl',
  'forecast.csv',
  'pipe',
  '/dev/null',
  'new',
  'new.svg',
] as const

/** Commands that write, each with its option for the place at the end; and some that should write nothing at all. */
export const COMMANDS: { words: string[]; place: string | null }[] = [
  { words: ['report', 'my-test', ...QUICK], place: '--out' },
  { words: ['report', 'link-to-test', ...QUICK, '--json', '--points', 'csv,geojson,parquet'], place: '--out' },
  { words: ['report', 'my-test', ...QUICK, '--quiet'], place: null },
  { words: ['report', 'my-test/tracks', ...QUICK], place: '--out' },
  { words: ['report', '.', ...QUICK], place: '--out' },
  { words: ['batch', 'map', 'my-test', '--root', 'my-test'], place: '--out' },
  { words: ['batch', 'map', 'link-to-test/tracks', '--root', 'link-to-test', '--part', '3/3'], place: '--out' },
  { words: ['batch', 'run', 'map.jsonl', '--part', '1/1', '--draws', '50'], place: '--out' },
  { words: ['batch', 'reduce', 'map.jsonl', '--root', 'my-test', ...QUICK], place: '--out' },
  { words: ['batch', 'reduce', 'map.jsonl', ...QUICK], place: '--out' },
  {
    words: ['plan', 'windows', 'my-test', '--forecast', 'forecast.csv', '--from', '2024-05-04T08:00Z', '--days', '1'],
    place: '--svg',
  },
  { words: ['init', 'my-test'], place: null },
  { words: ['init', 'my-test/tracks'], place: null },
  { words: ['check', 'my-test', '--draws', '50'], place: null },
  { words: ['inspect', 'my-test/tracks/monday.gpx', '--weather', 'my-test/weather/station.csv'], place: null },
]

/** Calls the program within the folder. */
export function call(folder: string, words: string[], cache: string): { status: number | null; stderr: string } {
  const env = { ...process.env, NO_COLOR: '1', HOME: folder, CETERIS_CACHE_DIR: cache }
  return ceterisIn({ cwd: folder, env }, ...words)
}
