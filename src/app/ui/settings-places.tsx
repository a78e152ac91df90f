import { shownSetting, typedValue } from '../edit/settings.ts'
import { COAST_DOWN, type NamedSection } from '../edit/settings-fields.ts'
import { Field } from './settings-field.tsx'
import { SectionForm } from './settings-forms.tsx'
import { asSection, type Own, type Say } from './settings-said.ts'

/** A section whose keys are names: stations, gates, private places. */
export function NamedPlaces({ section, settings, say }: Own & { section: NamedSection }) {
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

export function CoastDown({ settings, say }: Own) {
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
