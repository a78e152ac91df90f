import { isoSecond } from '../../base/time.ts'
import { daysOf } from '../cells.ts'
import { checkJson, checkRows } from '../get/answer-kinds.ts'
import type { Ask, Candidate, Service, Span } from '../types.ts'
import { IEM_HOST as HOST, iemPages, iemStations } from './iem-lists.ts'

/** Routine and special reports with their text and remarks, of one station and day: two an hour at most places. */
const BYTES_PER_DAY = 8000
const DAY_S = 86_400

/** What is asked for by name: knots and not `sped`, which is computed with a rounded factor. */
const COLUMNS = ['tmpf', 'dwpf', 'drct', 'sknt', 'gust', 'alti', 'mslp', 'p01i', 'wxcodes', 'metar']

/**
 * The METAR archive of the Iowa Environmental Mesonet: airports of the whole world, to the minute.
 * @source akrherz/iem, pylib/iemweb/request/asos.py (parameters, limits), docs/datasets/metar.md, htdocs/disclaimer.php
 */
export const iem: Service = {
  id: 'iem',
  name: 'Iowa Environmental Mesonet, METAR archive',
  host: HOST,
  licence: 'public domain',
  credit: 'METAR reports from the archive of the Iowa Environmental Mesonet of Iowa State University',
  kind: 'observed',
  triedOn: 'recorded',
  // One request a second and address since April 2026, else 429.
  pauseMs: 1100,
  hasIndex: true,
  byDefault: true,
  covers: () => true,
  pages: iemPages,
  stations: iemStations,
  requestsFor: (station, span) => [requestFor(station, span)],
  check: ({ purpose }, bytes) =>
    purpose === 'list'
      ? checkJson(bytes, (value) => (value as { data?: unknown[] }).data?.length ?? 0)
      : checkRows(bytes, {
          separator: '\t',
          isHead: (line) => line.startsWith('#DEBUG'),
          isHeader: (line) => line.startsWith('station\tvalid'),
        }),
}

function requestFor(station: Candidate, span: Span): Ask {
  const query = new URLSearchParams([
    ['station', station.id],
    ...COLUMNS.map((name) => ['data', name]),
    ['sts', isoSecond(span.fromS)],
    ['ets', isoSecond(span.toS)],
    ['tz', 'Etc/UTC'],
    // The form with comments, which say the zone of its times.
    ['format', 'tdf'],
    ['latlon', 'yes'],
    ['elev', 'yes'],
    ['missing', 'M'],
    ['trace', 'T'],
    ['report_type', '3'],
    ['report_type', '4'],
  ])
  return {
    service: 'iem',
    purpose: 'observations',
    url: `https://${HOST}/cgi-bin/request/asos.py?${query}`,
    file: `iem_${station.name}_${daysOf(span)}.tsv`,
    about: station.name,
    station: station.id,
    span,
    roughBytes: (BYTES_PER_DAY * (span.toS - span.fromS)) / DAY_S,
  }
}
