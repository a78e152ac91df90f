import { plainText } from '../../base/sentence.ts'
import { answerOf } from '../../report/words/answer.ts'
import { claimsHeadline } from '../../report/words/claims.ts'
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

/** The answer in two lines, beside whatever is being edited. */
export function AnswerLines({ answer }: { answer: Answer }) {
  const { report } = answer.computed
  return (
    <div class="answer-lines">
      <p>{plainText(answerOf(report).headline)}</p>
      {report.claims.length > 0 && <p>{plainText(claimsHeadline(report.claims))}</p>}
    </div>
  )
}
