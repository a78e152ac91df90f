import { useState } from 'preact/hooks'
import { typedValue } from '../edit/settings.ts'

/** The name of something that is added. */
export function NewName({ what, add }: { what: string; add: (name: string) => string | null }) {
  const [name, setName] = useState('')
  const [refusal, setRefusal] = useState<string | null>(null)
  return (
    <form
      class="inline"
      onSubmit={(event) => {
        event.preventDefault()
        const wanted = name.trim()
        if (wanted === '') return
        const why = add(wanted)
        setRefusal(why)
        if (why === null) setName('')
      }}
    >
      <label>
        Another {what}
        <input value={name} onInput={(event) => setName(event.currentTarget.value)} />
      </label>
      <button type="submit">Add {what}</button>
      <Refusal why={refusal} />
    </form>
  )
}

interface SectionFormProps {
  fields: readonly { key: string; label: string }[]
  begin: Record<string, string>
  button: string
  /** What was typed; a refusal comes back. */
  submit: (stated: Record<string, string | number>) => string | null
}

/** Settings that are said together. */
export function SectionForm({ fields, begin, button, submit }: SectionFormProps) {
  const [values, setValues] = useState(begin)
  const [refusal, setRefusal] = useState<string | null>(null)
  return (
    <form
      class="fields"
      onSubmit={(event) => {
        event.preventDefault()
        const stated = fields.flatMap(({ key }) => {
          const value = typedValue(key === 'name' ? 'text' : 'number', values[key] ?? '')
          return typeof value === 'string' || typeof value === 'number' ? [[key, value] as const] : []
        })
        const why = submit(Object.fromEntries(stated))
        setRefusal(why)
        if (why === null) setValues(begin)
      }}
    >
      {fields.map(({ key, label }) => (
        <div class="field" key={key}>
          <label>
            {label}
            <input
              value={values[key] ?? ''}
              autocomplete="off"
              {...(key === 'name' ? {} : { inputMode: 'decimal' as const })}
              onInput={(event) => setValues({ ...values, [key]: event.currentTarget.value })}
            />
          </label>
        </div>
      ))}
      <button type="submit">{button}</button>
      <Refusal why={refusal} />
    </form>
  )
}

const Refusal = ({ why }: { why: string | null }) =>
  why === null ? null : (
    <p class="error" role="alert">
      Not taken: {why}
    </p>
  )
