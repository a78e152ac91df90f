import { useState } from 'preact/hooks'
import { firstCampaignYaml } from '../../campaign/first-campaign.ts'
import type { ReportProblem } from '../../report/contract.ts'
import { inFormWords } from '../edit/form-words.ts'
import { changedSettings, settingsIn, shownSetting, typedValue } from '../edit/settings.ts'
import { FIELD_GROUPS, MORE_GROUPS, NAMED_SECTIONS, type SettingField } from '../edit/settings-fields.ts'
import type { App, AppState } from '../state/app.ts'
import { editedFile } from '../state/tables.ts'
import { freePath } from '../workspace/workspace.ts'
import { Problems } from './problems.tsx'
import { Field } from './settings-field.tsx'
import { NewName } from './settings-forms.tsx'
import { CoastDown, NamedPlaces } from './settings-places.tsx'
import { asSection, type Own, type Say } from './settings-said.ts'

/** A problem of campaign.yaml in the words of the forms; a key that no form knows stays as it is written. */
const inForms = (problem: ReportProblem): ReportProblem =>
  problem.code === 'campaign-unknown-key'
    ? problem
    : { ...problem, message: inFormWords(problem.message), hint: problem.hint && inFormWords(problem.hint) }

interface Props {
  app: App
  state: AppState
}

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
      <Problems problems={problems.map(inForms)} />
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

function Group({ title, fields, settings, say }: Own & { title: string; fields: readonly SettingField[] }) {
  return (
    <fieldset class="fields">
      {title !== '' && <legend>{title}</legend>}
      {fields.map((field) => (
        <Field
          key={field.path.join('.')}
          {...field}
          value={shownSetting(settings, field.path)}
          say={(typed) => say(field.path, typedValue(field.kind, typed), `changing “${field.label}”`)}
        />
      ))}
    </fieldset>
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
