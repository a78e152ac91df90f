import { dailyCourseProblems } from '../../air/daily-course.ts'
import type { ObservationFile } from '../../air/series.ts'
import { withinTimeReach } from '../../air/within-reach.ts'
import { present } from '../../base/present.ts'
import type { Problem } from '../../base/problem.ts'
import { forgetful, type Remember } from '../../base/remember.ts'
import { defaultCampaign, readCampaign } from '../../read/campaign/campaign.ts'
import { readFillsTable } from '../../read/runs/fills-table.ts'
import { readRunsTable } from '../../read/runs/runs-table.ts'
import { daysOfSpans } from '../../read/table/dates.ts'
import { isTrackKind } from '../../read/tracks/read.ts'
import type { Campaign, FillRow, RunRow } from '../../read/types.ts'
import { daysOfDrives } from '../../read/weather/days-of-drives.ts'
import { dependenciesOf, isWeatherKind, readWeather } from '../../read/weather/read.ts'
import { loadStations, type StationList } from '../../read/weather/stations/stations.ts'
import type { Report } from '../../report/contract.ts'
import { WEATHER } from '../kept/weather-shape.ts'
import { type PlacedDrive, weatherTimeProblems } from '../plausible/times.ts'
import { isLongTable, type MappedFile } from './map-file.ts'
import { fileOfPart } from './map-parts.ts'
import { missingPhotos } from './photos.ts'
import { withoutTracks } from './rows/control-rows.ts'
import { areDrives, READ_AS_DRIVES } from './rows/drives-or-fills.ts'
import { withOneSpelling } from './rows/setup-names.ts'
import { isForecast, readSources, type Sources } from './sources.ts'

/** Everything of the folder but the tracks, read. */
export interface CampaignInputs {
  campaign: Campaign
  campaignFile: string | null
  rows: RunRow[]
  /** Rows of runs.csv beside a control vehicle that have no recording. */
  fuelAlone: RunRow[]
  runsFile: string | null
  /** The fuel log; empty without one. */
  fills: FillRow[]
  fillsFile: string | null
  /** Names of the columns of both tables. */
  columns: string[]
  observations: ObservationFile[]
  /** The places of stations that comes with the tool; empty where every station states its own place and height. */
  stationList: StationList
  /** What is told of the files of weather, by path. */
  notes: Map<string, string[]>
  /** Where fetched files came from. */
  sources: Sources
  problems: Problem[]
}

/** Reads settings and weather; of two campaign or runs files the first by path counts, the other is reported. */
export async function readInputs(files: MappedFile[], remember: Remember = forgetful): Promise<CampaignInputs> {
  const problems: Problem[] = []
  const told = (file: MappedFile, found: Problem[]): void => {
    for (const problem of found) problems.push({ ...problem, file: file.path })
  }
  const one = (kind: 'campaign' | 'runs-table' | 'fills-table'): MappedFile | null => {
    const [first = null, ...others] = files.filter((f) => f.kind === kind)
    for (const other of others) {
      told(other, [
        {
          code: 'second-settings-file',
          severity: 'error',
          message: `not used: ${first?.path} is of the same kind and comes first`,
        },
      ])
    }
    return first
  }
  const campaignFile = one('campaign')
  const campaign = campaignFile && readCampaign(present(campaignFile.text))
  if (campaign) told(campaignFile, campaign.problems)
  const settings = campaign?.value ?? defaultCampaign()
  const driven = drivenSpans(files)
  const days = daysOfSpans(driven.coverSpans)
  const placed = placedDrives(files)
  const { timeZone } = settings
  const toldRuns = one('runs-table')
  const toldFills = one('fills-table')
  const asLog = toldFills && readFillsTable(present(toldFills.text), timeZone, days)
  const starts = placed.map(({ startTime }) => startTime)
  const isOfDrives = toldRuns === null && asLog !== null && areDrives(asLog.value?.rows ?? [], asLog.problems, starts)
  const [runsFile, fillsFile, log] = isOfDrives ? [toldFills, null, null] : [toldRuns, toldFills, asLog]
  if (runsFile && isOfDrives) told(runsFile, [READ_AS_DRIVES])
  const table = runsFile && readRunsTable(present(runsFile.text), { days, timeZone })
  if (table) told(runsFile, table.problems)
  problems.push(...missingPhotos(table?.value?.rows ?? [], runsFile?.path ?? '', files))
  if (fillsFile && log) told(fillsFile, log.problems)
  problems.push(...missingPhotos(log?.value?.rows ?? [], fillsFile?.path ?? '', files))
  const named = [...Object.keys(settings.setups), ...(settings.baseline === null ? [] : [settings.baseline])]
  const { rows, fuelAlone, problems: ofControl } = withoutTracks(table?.value?.rows ?? [])
  if (runsFile) told(runsFile, ofControl)
  if (runsFile) told(runsFile, withOneSpelling([...rows, ...fuelAlone], named))
  if (fillsFile && log?.value) {
    const ofRows = rows.flatMap(({ setup }) => setup ?? [])
    told(fillsFile, withOneSpelling(log.value.rows, [...named, ...ofRows]))
  }
  const sources = readSources(files)
  problems.push(...sources.problems)
  const span = withLog(driven, log?.value?.rows ?? [], settings.place !== null)
  const observations: ObservationFile[] = []
  const notes = new Map<string, string[]>()
  for (const file of files) {
    const { kind } = file
    if (!isWeatherKind(kind)) continue
    if (isForecast(sources, file)) {
      notes.set(file.path, ['a forecast: not used for drives, which have been made meanwhile'])
      continue
    }
    const context = { timeZone, fileName: file.path, days, ...span }
    const text = present(file.text)
    const wanted = isLongTable(text) ? span.coverSpans : []
    const read = remember(WEATHER, [contentOf(file), kind, dependenciesOf(kind, context), wanted], () =>
      readWeather(kind, daysOfDrives(text, wanted), context),
    )
    told(file, read.problems)
    if (!read.value) continue
    told(file, [...dailyCourseProblems(read.value), ...weatherTimeProblems(read.value, placed)])
    const near = withinTimeReach(read.value, span.coverSpans)
    if (near.leftAside > 0) notes.set(file.path, [leftAsideNote(near.leftAside, read.value.count)])
    observations.push({ file: file.path, observations: near.observations })
  }
  return {
    campaign: settings,
    campaignFile: campaignFile?.path ?? null,
    rows,
    fuelAlone,
    runsFile: runsFile?.path ?? null,
    fills: log?.value?.rows ?? [],
    fillsFile: fillsFile?.path ?? null,
    columns: [...(table?.value?.columns ?? []), ...(log?.value?.columns ?? [])],
    observations,
    stationList: needsTable(observations) ? await loadStations() : NO_STATIONS,
    notes,
    sources,
    problems,
  }
}

/** Names a file's content; of a workbook, whose sheets have one digest, with the sheet. */
const contentOf = ({ path, sha256 }: MappedFile): string => sha256 + path.slice(fileOfPart(path).length)

const leftAsideNote = (rows: number, of: number): string =>
  `${rows} of its ${of} observations were made too long before or after every drive to say anything of it`

const placedDrives = (files: MappedFile[]): PlacedDrive[] =>
  files
    .flatMap((file) => file.tracks.flatMap(({ drive }) => drive?.fixes ?? []))
    .map(({ time, latitude, longitude }) => ({
      startTime: time[0],
      endTime: time[time.length - 1],
      latitude: latitude[0],
      longitude: longitude[0],
    }))

interface DrivenSpans {
  coverFrom: number | null
  coverTo: number | null
  coverSpans: { from: number; to: number }[]
}

/** The time spans of all drives, seconds since 1970: what undated reports must cover. */
function drivenSpans(files: MappedFile[]): DrivenSpans {
  const coverSpans = files
    .flatMap((f) => f.tracks.flatMap((t) => t.drive ?? []))
    .map(({ fixes }) => ({ from: fixes.time[0], to: fixes.time[fixes.time.length - 1] }))
  if (coverSpans.length === 0) return { coverFrom: null, coverTo: null, coverSpans }
  return {
    coverFrom: coverSpans.reduce((least, s) => Math.min(least, s.from), Number.POSITIVE_INFINITY),
    coverTo: coverSpans.reduce((most, s) => Math.max(most, s.to), Number.NEGATIVE_INFINITY),
    coverSpans,
  }
}

/** With a fuel log: its days are covered where there are no drives, or where its place is stated. */
function withLog(driven: DrivenSpans, fills: FillRow[], isPlaced: boolean): DrivenSpans {
  const isWanted = fills.length > 0 && (isPlaced || driven.coverSpans.length === 0)
  if (!isWanted) return driven
  const from = fills.reduce((first, { fromTime }) => Math.min(first, fromTime), Number.POSITIVE_INFINITY)
  const to = fills.reduce((last, { toTime }) => Math.max(last, toTime), Number.NEGATIVE_INFINITY)
  return {
    coverFrom: Math.min(driven.coverFrom ?? from, from),
    coverTo: Math.max(driven.coverTo ?? to, to),
    coverSpans: driven.coverSpans.length === 0 ? [] : [...driven.coverSpans, { from, to }],
  }
}

/** The table is large: it is only loaded for stations whose files do not say where, or how high, they are. */
const needsTable = (files: ObservationFile[]): boolean =>
  files.some(({ observations }) =>
    observations.stations.some((s) => !s.onRoad && Number.isNaN(s.latitude + s.elevationM)),
  )

const NO_STATIONS: StationList = { find: () => null, all: () => [] }

/** The list of inputs for the report. */
export function inputsOf(files: MappedFile[]): Report['inputs'] {
  return files.map(({ path, sha256, kind, notes }) => ({
    path,
    sha256,
    kind: isTrackKind(kind)
      ? 'track'
      : kind === 'runs-table'
        ? 'runs'
        : kind === 'fills-table'
          ? 'fills'
          : kind === 'campaign' || kind === 'elevation' || kind === 'picture' || kind === 'fetched-list'
            ? kind
            : isWeatherKind(kind)
              ? 'weather'
              : 'unrecognised',
    notes: [...new Set(notes)],
  }))
}
