import { useState } from 'preact/hooks'
import type { SettingField } from '../edit/settings-fields.ts'
import { TypedInput } from './typed-input.tsx'

interface FieldProps extends Omit<SettingField, 'kind'> {
  kind: SettingField['kind'] | 'list'
  value: string
  say: (typed: string) => string | null
}

/** One setting; a value that cannot be stays in its field with the reason below it, and changes nothing. */
export function Field({ path, label, kind, options, help, value, say }: FieldProps) {
  const [refused, setRefused] = useState<{ typed: string; why: string } | null>(null)
  const id = `setting-${path.join('-').replace(/[^\w-]/g, '_')}`
  const enter = (typed: string): void => {
    const why = say(typed)
    setRefused(why === null ? null : { typed, why })
  }
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {kind === 'choice' ? (
        <select
          id={id}
          aria-invalid={refused !== null}
          aria-describedby={`${id}-help`}
          value={refused?.typed ?? value}
          onChange={(event) => enter(event.currentTarget.value)}
        >
          <option value="">not stated</option>
          {options.map((option) => (
            <option key={option} value={option}>
              {option.replaceAll('_', ' ')}
            </option>
          ))}
        </select>
      ) : (
        <TypedInput
          id={id}
          value={refused?.typed ?? value}
          enter={enter}
          list={path[0] === 'baseline' ? 'setup-names' : undefined}
          isNumber={kind === 'number'}
          isRefused={refused !== null}
          describedBy={`${id}-help`}
        />
      )}
      <p class="small" id={`${id}-help`}>
        {refused !== null ? (
          <span class="error" role="alert">
            Not taken: {refused.why}
          </span>
        ) : (
          help
        )}
      </p>
    </div>
  )
}
