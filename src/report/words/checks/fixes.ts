/** What to do about a flag of a drive. */
const FLAG_FIXES: Record<string, string> = {
  gaps: 'Keep the logger where it sees the sky, and from being put to sleep; drive again where much is missing.',
  'position-jumps': 'Keep the logger where it sees the sky.',
  'low-rate': 'Record a position every second.',
  'coarse-positions': 'Let the device use its satellite receiver at full accuracy.',
  'cut-while-moving': 'Start the recording before setting off and stop it after the end.',
  'no-elevation': 'Use a logger that records elevation, or put a terrain tile of the road into the folder.',
  'little-elevation': 'Use a logger that records elevation, or put a terrain tile of the road into the folder.',
  'elevation-drift': 'Nothing to do: all drives of a road share one elevation profile.',
  'part-of-route': 'Drive the whole road, with the recording on from before the start to after the end.',
  detour: 'Keep to the road, or leave the drive out with exclude in runs.csv.',
}

/** What to do about problems that bring no hint of their own. */
const PROBLEM_FIXES: Record<string, string> = {
  'file-unreadable': 'Copy the file again, or give it readable permissions.',
  'empty-file': 'Copy the file again: nothing is in it.',
  unrecognised: 'Nothing to do if it does not belong to the test; otherwise see in the README what is read.',
  'second-settings-file': 'Keep one of them in the folder.',
  'track-without-times': 'Export the track with its times (as a recorded track, not as a planned route).',
  'track-too-short': 'Nothing to do if it is not a drive; otherwise export the whole recording.',
  'row-without-track': 'Write the name of the track’s file as it stands in the folder.',
  'track-without-row': 'Add a row with track, setup and fuel or energy.',
  'duplicate-run': 'Remove one of the two files.',
  'weather-out-of-reach':
    'Get the reports of a station near the road and of the days driven; ceteris weather fetches them.',
}

const BY_SEVERITY: Record<'error' | 'warning' | 'note', string> = {
  error: 'Correct the file at the place named; what was wrong there was not used.',
  warning: 'Look at the place named; the rest of the file was used.',
  note: 'Nothing to do, unless it surprises you.',
}

/** What to do about a problem without a hint. */
export const fixOfProblem = (code: string, severity: keyof typeof BY_SEVERITY): string =>
  PROBLEM_FIXES[code] ?? BY_SEVERITY[severity]

/** What to do about a flag of a drive. */
export const flagFix = (code: string): string => FLAG_FIXES[code] ?? 'See the drive in the report.'
