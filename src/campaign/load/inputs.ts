import type { ObservationFile } from '../../air/series.ts'
import { present } from '../../base/present.ts'
import { forgetful, type Remember } from '../../base/remember.ts'
import type { Span } from '../../base/time.ts'
import { defaultCampaign, readCampaign } from '../../read/campaign/campaign.ts'
import type { Campaign } from '../../read/campaign/settings.ts'
import type { FillRow } from '../../read/runs/rows.ts'
import { daysOfSpans } from '../../read/table/dates.ts'
import { isTrackKind } from '../../read/tracks/read.ts'
import { isWeatherKind } from '../../read/weather/read.ts'
import { loadStations, type StationList } from '../../read/weather/stations/stations.ts'
import type { Report } from '../../report/contract.ts'
import type { PlacedDrive } from '../plausible/times.ts'
import { exchangedProblems } from './exchanged.ts'
import { firstCampaignFile, inFile } from './first-of-kind.ts'
import type { MappedFile } from './map-file.ts'
import { readObservations } from './read-observations.ts'
import { type ReadTables, readTables } from './rows/read-tables.ts'
import { isForecast, readSources, type Sources } from './sources.ts'

/** Everything of the folder but the tracks, read. */
export interface CampaignInputs extends ReadTables {
  campaign: Campaign
  campaignFile: string | null
  observations: ObservationFile[]
  /** The places of stations that comes with the tool; empty where every station states its own place and height. */
  stationList: StationList
  /** What is told of the files of weather, by path. */
  notes: Map<string, string[]>
  /** Where fetched files came from. */
  sources: Sources
}

/** Reads settings and weather; of two campaign files the first by path counts, the other is reported; tables of one kind are joined. */
export async function readInputs(files: MappedFile[], remember: Remember = forgetful): Promise<CampaignInputs> {
  const { campaign, campaignFile, problems: ofSettings } = readSettings(files)
  const driven = drivenSpans(files)
  const placed = placedDrives(files)
  const days = daysOfSpans(driven.coverSpans)
  const starts = placed.map(({ startTime }) => startTime)
  const { problems: ofTables, ...tables } = readTables(files, campaign, days, starts)
  const sources = readSources(files)
  const span = withLog(driven, tables.fills, campaign.place !== null)
  const {
    observations,
    notes,
    problems: ofWeather,
  } = readObservations(
    files,
    (file) => ({ timeZone: campaign.timeZone, fileName: file.path, days, ...span }),
    (file) => isForecast(sources, file),
    placed,
    remember,
  )
  return {
    campaign,
    campaignFile,
    ...tables,
    observations,
    stationList: needsTable(observations) ? await loadStations() : NO_STATIONS,
    notes,
    sources,
    problems: [...ofSettings, ...ofTables, ...sources.problems, ...ofWeather],
  }
}

function readSettings(files: MappedFile[]): Pick<CampaignInputs, 'campaign' | 'campaignFile' | 'problems'> {
  const { file, problems } = firstCampaignFile(files)
  if (!file) return { campaign: defaultCampaign(), campaignFile: null, problems }
  const { value, problems: found } = readCampaign(present(file.text))
  return {
    campaign: value ?? defaultCampaign(),
    campaignFile: file.path,
    problems: [...problems, ...inFile(file, found), ...exchangedProblems(files, value ?? defaultCampaign(), file.path)],
  }
}

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
  coverSpans: Span[]
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
