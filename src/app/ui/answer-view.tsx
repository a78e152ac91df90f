import { useEffect, useMemo, useRef } from 'preact/hooks'
import { plainText } from '../../base/sentence.ts'
import { glanceOf } from '../../report/glance.ts'
import type { Next } from '../../report/glance-answers.ts'
import { AT_THE_TOP, pageAt, type ReaderPlace, readerPlace } from '../../report/page/reader-place.ts'
import { glanceWords } from '../../report/words/glance.ts'
import { type Used, usedIn } from '../../report/words/used.ts'
import type { Answer } from '../state/app.ts'

/** The report itself: the page that `ceteris report` writes, in a frame of its own. */
export function AnswerView({ answer, isStale }: { answer: Answer | null; isStale: boolean }) {
  const frame = useRef<HTMLIFrameElement>(null)
  const left = useRef<ReaderPlace>(AT_THE_TOP)
  useEffect(() => {
    const listen = ({ source, data }: MessageEvent): void => {
      if (source !== null && source === frame.current?.contentWindow) left.current = readerPlace(data)
    }
    addEventListener('message', listen)
    return () => removeEventListener('message', listen)
  }, [])
  // Another report begins where the reader left the one before, with the same choices.
  const page = useMemo(() => (answer === null ? '' : pageAt(answer.page, left.current)), [answer])
  return (
    <section class="answer" aria-labelledby="answer-title">
      <h2 id="answer-title" class="hidden">
        Report
      </h2>
      {answer === null ? (
        <p class="nothing">The report stands here once drives were found and computed.</p>
      ) : (
        <iframe
          class={isStale ? 'report stale' : 'report'}
          title="Report"
          sandbox="allow-scripts allow-downloads allow-popups"
          ref={frame}
          srcdoc={page}
        />
      )}
    </section>
  )
}

/** What to do next where files are filled in by this page’s tabs. */
const NEXT_HERE: Partial<Record<Next['code'], (used: Used) => string>> = {
  'add-tracks': () => 'Choose at least two tracks with times, each of one drive of the same road.',
  'add-weather': () => 'Choose weather reports of these days, of a station near the road.',
  'add-fuel': (used) => `Type the setup and the ${used} of each drive under Fuel.`,
  'add-setups': () => 'Type the setup of each drive under Fuel, and the baseline under Vehicle.',
}

/** The report's three answers, beside whatever is being edited. */
export function AnswerLines({ answer }: { answer: Answer }) {
  const { report } = answer.computed
  const glance = glanceOf(report)
  const { compare, helped, next } = glanceWords(report, glance)
  const here = NEXT_HERE[glance.next.code]?.(usedIn(report))
  return (
    <dl class="answer-lines">
      {[compare, helped, next].map((line) => (
        <div key={line.question}>
          <dt>{line.question}</dt>
          <dd>{line === next && here !== undefined ? here : plainText(line.answer)}</dd>
        </div>
      ))}
    </dl>
  )
}
