import { useState } from 'preact/hooks'
import { present } from '../../base/present.ts'
import { isoTime } from '../../base/time.ts'
import { clockTime, PIECE_WORDS, timesOf } from '../../report/words/drives/recordings.ts'
import { plural } from '../../report/words.ts'
import { mergeDrives, splitDrive, withCells } from '../edit/drive-edits.ts'
import type { App, AppState } from '../state/app.ts'
import { type ShownDrive, type ShownRecording, shownRecordings } from '../state/drives.ts'
import { drivesTable, isRecognised } from '../state/tables.ts'
import { writeRuns } from '../state/write-runs.ts'
import { CourseMap } from './course-map.tsx'

interface Props {
  app: App
  state: AppState
}

/** The drives as they were found in each recording, and what can be said against that. */
export function DrivesView({ app, state }: Props) {
  const { recognised } = state
  if (recognised === null) return null
  const { table } = drivesTable(state)
  const recordings = shownRecordings(recognised, table)
  const zone = state.answer?.computed.report.settings.time_zone ?? null
  return (
    <section aria-labelledby="drives-title">
      <h2 id="drives-title">Drives</h2>
      <p>
        {plural(recognised.drives.length, 'drive')} in {plural(recordings.length, 'recording')}. Only drives are
        compared; what lies between them is not. Times are {zone ?? 'UTC'}.
      </p>
      {recordings.map((shown) => (
        <RecordingView key={shown.recording.track} app={app} state={state} shown={shown} zone={zone} />
      ))}
    </section>
  )
}

interface RecordingProps extends Props {
  shown: ShownRecording
  zone: string | null
}

function RecordingView({ app, state, shown, zone }: RecordingProps) {
  const { recording, drives, courses } = shown
  const [selected, select] = useState<string | null>(null)
  const [splitTime, setSplitTime] = useState<number | null>(null)
  const drive = drives.find(({ id }) => id === selected) ?? null
  const choose = (id: string): void => {
    select(id === selected ? null : id)
    setSplitTime(null)
  }
  return (
    <article class="recording-card">
      <h3 class="file">{recording.track}</h3>
      <p class="small">
        {timesOf(recording, zone)}
        {drives.length === 0 && ': no drive of its own'}
      </p>
      <DayStrip shown={shown} zone={zone} selected={selected} choose={choose} />
      {drive !== null && (
        <div class="drive-editor">
          <CourseMap courses={courses} drives={drives} selected={drive} markTime={splitTime} />
          <DriveEditor
            key={drive.id}
            app={app}
            state={state}
            drive={drive}
            next={drives.find(({ id }) => id === drive.next) ?? null}
            zone={zone}
            splitTime={splitTime}
            setSplitTime={setSplitTime}
          />
        </div>
      )}
    </article>
  )
}

interface StripProps {
  shown: ShownRecording
  zone: string | null
  selected: string | null
  choose: (id: string) => void
}

/** The recording over time; its drives can be chosen. */
function DayStrip({ shown: { recording, drives }, zone, selected, choose }: StripProps) {
  const from = Date.parse(recording.start_time)
  const whole = Math.max(1, Date.parse(recording.end_time) - from)
  const share = (start: string, end: string): string => `${((Date.parse(end) - Date.parse(start)) / whole) * 100}%`
  return (
    <>
      {recording.pieces.length > 1 && (
        <div class="day-strip" aria-hidden="true">
          {recording.pieces.map(({ kind, run, start_time, end_time }, i) => (
            <button
              key={i}
              type="button"
              tabIndex={-1}
              class={`stretch stretch-${kind}${run !== null && run === selected ? ' chosen' : ''}`}
              style={{ width: share(start_time, end_time) }}
              title={`${clockTime(start_time, zone)} to ${clockTime(end_time, zone)}: ${PIECE_WORDS[kind].word}`}
              onClick={() => drives.some(({ id }) => id === run) && choose(present(run))}
            />
          ))}
        </div>
      )}
      <ul class="plain drive-list">
        {drives.map(({ id, number, track, startTime, endTime, distanceM, setup, excluded }) => (
          <li key={id}>
            <button type="button" class="drive-button" aria-expanded={id === selected} onClick={() => choose(id)}>
              <span class="number">{number}</span> {clock(startTime, zone)} to {clock(endTime, zone)},{' '}
              {(distanceM / 1000).toFixed(1)} km{setup === null ? '' : `, ${setup}`}
              {excluded !== '' && <span class="excluded">× excluded: {excluded}</span>}
              <span class="hidden"> ({track})</span>
            </button>
          </li>
        ))}
      </ul>
    </>
  )
}

const clock = (seconds: number, zone: string | null, format = 'HH:mm'): string =>
  clockTime(isoTime(seconds), zone, format)

interface EditorProps extends Props {
  drive: ShownDrive
  next: ShownDrive | null
  zone: string | null
  splitTime: number | null
  setSplitTime: (seconds: number | null) => void
}

function DriveEditor({ app, state, drive, next, zone, splitTime, setSplitTime }: EditorProps) {
  const { path, table } = drivesTable(state)
  const { excluded } = drive
  const [reason, setReason] = useState(excluded)
  if (table === null) return <p>The table of drives is {path}: say this there, and choose the file again.</p>
  const [first, last] = [Math.ceil(drive.startTime) + 1, Math.floor(drive.endTime) - 1]
  const middle = Math.round((first + last) / 2)
  return (
    <fieldset class="drive-actions" disabled={!isRecognised(state)}>
      <legend class="hidden">Drive {drive.number}</legend>
      <form
        onSubmit={(event) => {
          event.preventDefault()
          writeRuns(app, withCells(drive, { exclude: reason.trim() }), `excluding ${drive.track}`)
        }}
      >
        <label>
          Exclude this drive, because
          <input value={reason} onInput={(event) => setReason(event.currentTarget.value)} placeholder="a reason" />
        </label>
        <div class="buttons">
          <button type="submit" disabled={reason.trim() === excluded || reason.trim() === ''}>
            Exclude
          </button>
          {excluded !== '' && (
            <button
              type="button"
              onClick={() => {
                setReason('')
                writeRuns(app, withCells(drive, { exclude: '' }), `using ${drive.track} again`)
              }}
            >
              Use it again
            </button>
          )}
        </div>
      </form>
      <div class="split">
        {splitTime === null ? (
          <button type="button" onClick={() => setSplitTime(middle)}>
            Split this drive …
          </button>
        ) : (
          <>
            <label>
              Split at {clock(splitTime, zone, 'HH:mm:ss')}
              <input
                type="range"
                min={first}
                max={last}
                step="1"
                value={splitTime}
                aria-valuetext={clock(splitTime, zone, 'HH:mm:ss')}
                onInput={(event) => setSplitTime(Number(event.currentTarget.value))}
              />
            </label>
            <button
              type="button"
              onClick={() => writeRuns(app, splitDrive(table, drive, splitTime), `splitting ${drive.track}`)}
            >
              Split here
            </button>
            <button type="button" class="quiet" onClick={() => setSplitTime(null)}>
              Leave it whole
            </button>
          </>
        )}
      </div>
      {next !== null && (
        <button
          type="button"
          onClick={() =>
            writeRuns(app, mergeDrives(table, drive, next), `putting ${drive.track} and ${next.track} together`)
          }
        >
          Put together with the next drive ({clock(next.startTime, zone)})
        </button>
      )}
    </fieldset>
  )
}
