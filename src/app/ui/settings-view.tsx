import { useState } from 'preact/hooks'
import { firstCampaignYaml } from '../../campaign/first-settings.ts'
import { changedSettings, settingsIn, shownSetting, typedValue } from '../edit/settings.ts'
import {
  COAST_DOWN,
  FIELD_GROUPS,
  MORE_GROUPS,
  NAMED_SECTIONS,
  type NamedSection,
  type SettingField,
} from '../edit/settings-fields.ts'
import type { SettingValue } from '../edit/yaml-text.ts'
import type { App, AppState } from '../state/app.ts'
import { editedFile } from '../state/tables.ts'
import { freePath } from '../workspace/workspace.ts'
import { Problems } from './problems.tsx'
import { TypedInput } from './typed-input.tsx'

interface Props {
  app: App
  state: AppState
}

/** Says a setting; what it may not be comes back as a sentence, and nothing is changed. */
type Say = (path: readonly string[], value: SettingValue, done: string) => string | null

/** The settings of the test as forms. */
export function SettingsView({ app, state }: Props) {
  const file = editedFile(state, 'campaign')
  const text = file?.text ?? ''
  const settings = settingsIn(text)
  const path = file?.path ?? freePath(state.history.now.workspace, 'campaign.yaml')
  const say: Say = (keys, value, done) => {
    // A file that is begun here has the tool's own defaults as comments, as `ceteris init` writes it.
    const changed = changedSettings(file === null ? firstCampaignYaml() : text, keys, value)
    if (changed.text === null) return changed.refusal
    if (changed.text !== text) app.write({ [path]: changed.text }, done)
    return null
  }
  const names = Object.keys(asSection(settings?.setups))
  const driven = (state.recognised?.drives ?? []).flatMap(({ setup }) => setup ?? [])
  const setups = [...new Set([...names, ...driven])]
  const problems =
    state.recognised?.problems.filter((problem) => problem.path !== null && problem.path === file?.path) ?? []
  const own = { settings, say }
  return (
    <section aria-labelledby="settings-title">
      <h2 id="settings-title">Vehicle and settings</h2>
      <Problems problems={problems} />
      <datalist id="setup-names">
        {setups.map((name) => (
          <option key={name} value={name} />
        ))}
      </datalist>
      {settings === null ? (
        <p class="error">{path} is not YAML with keys. Put its text right below.</p>
      ) : (
        <>
          {FIELD_GROUPS.map((group) => (
            <Group key={group.title} {...group} {...own} />
          ))}
          <Setups setups={setups} {...own} />
          {NAMED_SECTIONS.map((section) => (
            <NamedPlaces key={section.key} section={section} {...own} />
          ))}
          <CoastDown {...own} />
          {MORE_GROUPS.map((group) => (
            <details key={group.title}>
              <summary>{group.title}</summary>
              <Group {...group} title="" {...own} />
            </details>
          ))}
        </>
      )}
      <WholeText
        path={path}
        text={text}
        write={(changed) => app.write({ [path]: changed }, `changing the text of ${path}`)}
      />
    </section>
  )
}

const asSection = (value: unknown): Record<string, unknown> =>
  typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : {}

interface Own {
  settings: Record<string, unknown> | null
  say: Say
}

function Group({ title, fields, settings, say }: Own & { title: string; fields: readonly SettingField[] }) {
  return (
    <fieldset class="fields">
      {title !== '' && <legend>{title}</legend>}
      {fields.map((field) => (
        <Field
          key={field.path.join('.')}
          {...field}
          value={shownSetting(settings, field.path)}
          say={(typed) => say(field.path, typedValue(field.kind, typed), `changing ${field.path.join(' ')}`)}
        />
      ))}
    </fieldset>
  )
}

interface FieldProps extends Omit<SettingField, 'kind'> {
  kind: SettingField['kind'] | 'list'
  value: string
  say: (typed: string) => string | null
}

/** One setting; a value that cannot be stays in its field with the reason below it, and changes nothing. */
function Field({ path, label, kind, options, help, value, say }: FieldProps) {
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

/** Which parts each setup has. */
function Setups({ setups, settings, say }: Own & { setups: string[] }) {
  return (
    <fieldset class="fields">
      <legend>Setups: the parts fitted</legend>
      <p class="small">
        Part names with commas between them; none for a setup without any. They tell what each part did.
      </p>
      {setups.map((name) => (
        <Field
          key={name}
          path={['setups', name]}
          label={name}
          kind="list"
          options={[]}
          value={shownSetting(settings, ['setups', name])}
          say={(typed) => say(['setups', name], typedValue('list', typed), `changing the setup ${name}`)}
        />
      ))}
      <NewName what="setup" add={(name) => say(['setups', name], [], `adding the setup ${name}`)} />
    </fieldset>
  )
}

function NamedPlaces({ section, settings, say }: Own & { section: NamedSection }) {
  const { key, title, one, help, fields } = section
  const names = Object.keys(asSection(settings?.[key]))
  return (
    <fieldset class="fields">
      <legend>{title}</legend>
      <p class="small">{help}</p>
      {names.map((name) => (
        <fieldset key={name} class="place">
          <legend>{name}</legend>
          {fields.map((field) => (
            <Field
              key={field.key}
              path={[key, name, field.key]}
              label={field.label}
              kind="number"
              options={[]}
              value={shownSetting(settings, [key, name, field.key])}
              say={(typed) => say([key, name, field.key], typedValue('number', typed), `changing the ${one} ${name}`)}
            />
          ))}
          <button
            type="button"
            class="quiet"
            onClick={() => say([key, name], undefined, `removing the ${one} ${name}`)}
          >
            Remove {name}
          </button>
        </fieldset>
      ))}
      <NewPlace section={section} say={say} />
    </fieldset>
  )
}

function NewName({ what, add }: { what: string; add: (name: string) => string | null }) {
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

/** A place needs both its coordinates at once: without them the file would be wrong. */
function NewPlace({ section: { key, one, fields }, say }: { section: NamedSection; say: Say }) {
  const named = [{ key: 'name', label: `Name of the ${one}` }, ...fields]
  return (
    <details>
      <summary>Another {one}</summary>
      <SectionForm
        fields={named}
        begin={{}}
        button={`Add ${one}`}
        submit={({ name, ...stated }) =>
          typeof name === 'string' || typeof name === 'number'
            ? say([key, String(name)], stated, `adding the ${one} ${name}`)
            : 'it needs a name'
        }
      />
    </details>
  )
}

function CoastDown({ settings, say }: Own) {
  const { path, fields } = COAST_DOWN
  const begin = Object.fromEntries(fields.map(({ key }) => [key, shownSetting(settings, [...path, key])]))
  return (
    <details>
      <summary>Coast-down, in place of drag and rolling resistance</summary>
      <SectionForm
        key={JSON.stringify(begin)}
        fields={fields}
        begin={begin}
        button="Use these"
        submit={(stated) =>
          say(path, Object.keys(stated).length === 0 ? undefined : stated, 'changing the coast-down coefficients')
        }
      />
    </details>
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
function SectionForm({ fields, begin, button, submit }: SectionFormProps) {
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

function WholeText({ path, text, write }: { path: string; text: string; write: (text: string) => void }) {
  const [edited, setEdited] = useState<string | null>(null)
  return (
    <details>
      <summary>The text of {path}</summary>
      <label class="whole-text">
        <span class="hidden">Text of {path}</span>
        <textarea
          rows={16}
          spellcheck={false}
          value={edited ?? text}
          onInput={(event) => setEdited(event.currentTarget.value)}
        />
      </label>
      <button
        type="button"
        disabled={edited === null || edited === text}
        onClick={() => {
          if (edited !== null) write(edited)
          setEdited(null)
        }}
      >
        Use this text
      </button>
    </details>
  )
}
