import type { TargetedClipboardEvent } from 'preact'
import { useState } from 'preact/hooks'

interface Props {
  id?: string
  value: string
  /** Called when the field is left, or with Enter, if something else stands in it than before. */
  enter: (typed: string) => void
  list?: string | undefined
  isNumber?: boolean
  label?: string
  isRefused?: boolean
  describedBy?: string
  onPaste?: (event: TargetedClipboardEvent<HTMLInputElement>) => void
}

/** A field whose text stays while it is being typed, however often the page is drawn anew meanwhile. */
export function TypedInput({ id, value, enter, list, isNumber, label, isRefused, describedBy, onPaste }: Props) {
  const [typed, setTyped] = useState<string | null>(null)
  return (
    <input
      type="text"
      id={id}
      value={typed ?? value}
      list={list}
      autocomplete="off"
      inputMode={isNumber ? 'decimal' : undefined}
      aria-label={label}
      aria-invalid={isRefused}
      aria-describedby={describedBy}
      onInput={(event) => setTyped(event.currentTarget.value)}
      onChange={(event) => {
        const text = event.currentTarget.value
        setTyped(null)
        if (text !== value || isRefused) enter(text)
      }}
      onPaste={onPaste}
    />
  )
}
