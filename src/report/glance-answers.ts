import type { ReportClaim } from './contract.ts'
import type { DataDoubt } from './data-doubts.ts'

/**
 * The three questions of a reader, can I compare, did it help, what next, answered as codes and figures: made once, said
 * by words/glance.ts, the same on the page, on the terminal, in Markdown and wherever else a report is told.
 */
export interface Glance {
  compare: Compared
  /** One for each claim, in the report's order. */
  helped: Helped[]
  /** Why there is no claim; null where there are some. */
  noClaim: 'no-fuel' | 'no-setups' | 'no-drives' | 'baseline-not-driven' | null
  next: Next
}

/** How many drives are used, and how. */
export interface Compared {
  /** `by-control`: no drive was recorded, and claims rest on fuel beside a control vehicle. */
  level: 'yes' | 'partly' | 'no' | 'not-known' | 'too-few' | 'by-control'
  drives: number
  asMeasured: number
  corrected: number
  leftOut: number
  /** Where no two drives of a road can be compared, alone or of different setups, though claims use them together. */
  noPair: 'at-all' | 'across-setups' | null
}

export type Reservation =
  | ReportClaim['caution_codes'][number]['code']
  | 'data-doubtful'
  | 'evidence-apart'
  | 'control-apart'
  | 'no-usable-pair'
  | 'drag-exceeded'

/** What keeps a change from being shown. */
export type NotShown =
  | 'contains-zero'
  | 'drift'
  | 'large-correction'
  | 'scatter-grew'
  | 'wet-unknown'
  | 'vehicle-doubtful'
  | 'evidence-apart'
  | 'conditions'
  | 'conditions-possible'
  | 'missing'

/** What a claim says, and how surely. */
export interface Helped {
  claim: ReportClaim
  /** Shown; shown with reservations; not shown (yet); cannot be told. */
  level: 'shown' | 'reserved' | 'not-shown' | 'not-known'
  /** The gravest first. */
  reservations: { code: Reservation; setups: string[] }[]
  /** null where it is shown. */
  why: NotShown | null
}

export interface Next {
  code:
    | 'add-tracks'
    | 'same-road'
    | 'add-weather'
    | 'add-fuel'
    | 'add-setups'
    | 'remove-drift'
    | 'settle-evidence'
    | 'add-missing'
    | 'drive-setup'
    | 'correct-baseline'
    | 'check-data'
    | 'more-drives'
    | 'another-day'
    | 'say-wet'
    | 'state-vehicle'
    | 'weigh-the-fuel'
    | 'longer-route'
    | 'nearer-anemometer'
    | 'publish'
  /** The setups that it is about. */
  setups: string[]
  /** Width of the 95 % interval of the first open claim, percentage points, now and after it; null where not known. */
  widths: { before: number; after: number } | null
  /** Whether a drive was left out because its road was wet. */
  dryRoad: boolean
  /** Of `check-data`; null elsewhere. */
  doubt: DataDoubt | null
  /** Of `correct-baseline` the setup that was probably meant; null where none is near, and elsewhere. */
  meant: string | null
}
