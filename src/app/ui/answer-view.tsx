import { plainText } from '../../base/sentence.ts'
import { glanceWords } from '../../report/words/glance.ts'
import type { Answer } from '../state/app.ts'

/** The report itself: the page that `ceteris report` writes, in a frame of its own. */
export function AnswerView({ answer, isStale }: { answer: Answer | null; isStale: boolean }) {
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
          srcdoc={answer.page}
        />
      )}
    </section>
  )
}

/** The report's three answers, beside whatever is being edited. */
export function AnswerLines({ answer }: { answer: Answer }) {
  const { compare, helped, next } = glanceWords(answer.computed.report)
  return (
    <dl class="answer-lines">
      {[compare, helped, next].map((line) => (
        <div key={line.question}>
          <dt>{line.question}</dt>
          <dd>{plainText(line.answer)}</dd>
        </div>
      ))}
    </dl>
  )
}
