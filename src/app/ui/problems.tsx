import { cleaned } from '../../base/names.ts'
import type { ReportProblem } from '../../report/contract.ts'

const SEVERITY_WORDS: Record<ReportProblem['severity'], string> = { error: 'Error', warning: 'Warning', note: 'Note' }
const RANKS: ReportProblem['severity'][] = ['error', 'warning', 'note']
/** More of one file than these are folded. */
const MOST_OPEN = 4

interface Props {
  problems: readonly ReportProblem[]
  /** Say of which file each is. */
  isWithPath?: boolean
}

/** What is wrong, what was repaired and what was noted, the worst first. */
export function Problems({ problems, isWithPath }: Props) {
  if (problems.length === 0) return null
  const sorted = RANKS.flatMap((rank) => problems.filter(({ severity }) => severity === rank))
  const open = sorted.filter(({ severity }, i) => i < MOST_OPEN && severity !== 'note')
  const folded = sorted.slice(open.length)
  return (
    <div class="problems">
      {open.length > 0 && <List problems={open} isWithPath={isWithPath} />}
      {folded.length > 0 && (
        <details>
          <summary>
            {folded.length} {open.length > 0 && 'more '}
            {folded.length === 1 ? 'remark' : 'remarks'}
          </summary>
          <List problems={folded} isWithPath={isWithPath} />
        </details>
      )}
    </div>
  )
}

function List({ problems, isWithPath }: Props) {
  return (
    <ul class="plain">
      {problems.map(({ path, line, column, severity, message, hint }, i) => (
        <li key={i}>
          <strong class={severity}>{SEVERITY_WORDS[severity]}</strong>{' '}
          {isWithPath && path !== null && <span class="file">{cleaned(path)} </span>}
          {line !== null && `line ${line}${column !== null ? `, column ${column}` : ''}: `}
          {cleaned(message)}
          {hint !== null && <span class="hint"> {cleaned(hint)}</span>}
        </li>
      ))}
    </ul>
  )
}
