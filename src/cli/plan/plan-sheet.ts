import { cleaned } from '../../base/names.ts'
import type { System } from '../../base/quantities.ts'
import { fileRefusal, SHEET, writeSheet } from '../../files/own-file.ts'
import type { MeasuringWay } from '../../plan/choices.ts'
import { MOST_RUNS_PER_SETUP, repeatsPlan } from '../../plan/repeats.ts'
import { type FieldSheet, sheetOrder } from '../../plan/sheet.ts'
import { DONE, DONE_WITH_ERRORS, type ExitCode } from '../../shell/exit-codes.ts'
import { refuse } from '../../shell/refusal.ts'
import { askedOf } from './plan-repeats.ts'
import { knownOfFolder, NOTHING_KNOWN } from './sheet-folder.ts'
import { sheetPage } from './sheet-page.ts'
import { sheetText } from './sheet-text.ts'

export interface SheetOptions {
  setups?: string
  folder?: string
  drives?: number
  effect?: number
  roadKm?: number
  fuel?: MeasuringWay
  units: System
  out?: string
}

/** More do not fit on paper with a name that can be read. */
const MOST_SETUPS = 6
const LONGEST_NAME = 40
const USUAL_DRIVES = 3

/** The command `plan sheet`: the sheet as Markdown on stdout, and as a page where `--out` names one. */
export async function planSheet(options: SheetOptions): Promise<ExitCode> {
  const { folder, out } = options
  const unwritable = out === undefined ? null : await fileRefusal(out, SHEET, [])
  if (unwritable !== null) return refuse(unwritable, false)
  const known = folder === undefined ? NOTHING_KNOWN : await knownOfFolder(folder)
  if (typeof known === 'string') return refuse(known, false)
  const setups = options.setups === undefined ? known.setups : options.setups.split(',').map((name) => name.trim())
  const wrong = setupsRefusal(setups, options)
  if (wrong !== null) return refuse(wrong, false)
  const unknown = setups.filter((name) => known.setups.length > 0 && !known.setups.includes(name))
  if (unknown.length > 0) {
    process.stderr.write(
      `--setups: ${cleaned(unknown.join(', '))} not in the folder, which has ${cleaned(known.setups.join(', '))}; the sheet is made with the names given\n`,
    )
  }
  const way = options.fuel ?? (known.isElectric ? 'battery' : 'pump')
  const forEffect = await drivesFor(options, way, known.hasTracks)
  if (typeof forEffect === 'string') return refuse(forEffect, false)
  const sheet: FieldSheet = {
    ...known,
    way,
    system: options.units,
    setups,
    ...sheetOrder(setups, options.drives ?? forEffect?.runsPerSetup ?? USUAL_DRIVES),
    forEffect,
  }
  process.stdout.write(sheetText(sheet))
  if (out !== undefined) {
    const failure = await writeSheet(sheetPage(sheet), out, [])
    if (failure !== null) return refuse(failure, false)
  }
  return known.errors ? DONE_WITH_ERRORS : DONE
}

function setupsRefusal(setups: string[], { setups: written, folder }: SheetOptions): string | null {
  const names = 'name them with --setups, like --setups bare,rack, the unchanged vehicle first'
  if (written === undefined && folder === undefined) return `the setups are not known; ${names}, or give --folder`
  const found = setups.length === 0 ? 'none' : cleaned(setups.join(', '))
  if (setups.length < 2) return `setups: found ${found}, expected at least two; ${names}`
  if (setups.length > MOST_SETUPS) {
    return `setups: found ${setups.length} (${found}), expected at most ${MOST_SETUPS} on one sheet; ${names}`
  }
  if (new Set(setups).size < setups.length) return `setups: found ${found}, expected each name once`
  const bad = setups.find((name) => name === '' || name.length > LONGEST_NAME)
  return bad === undefined
    ? null
    : `setups: found "${cleaned(bad)}", expected names of 1 to ${LONGEST_NAME} characters with a comma between them`
}

/** How many drives of each setup an effect takes on the road; null where none is asked for. */
async function drivesFor(
  { effect, roadKm, folder }: SheetOptions,
  way: MeasuringWay,
  hasTracks: boolean,
): Promise<FieldSheet['forEffect'] | string> {
  if (effect === undefined) return null
  if (effect === 0) return 'an effect of 0 % cannot be found; give the change expected, like --effect 3'
  const asked = await askedOf({ effect, roadKm, fuel: way, ...(hasTracks ? { folder } : {}) }, (routeM) => [routeM])
  if (typeof asked === 'string')
    return asked.replace('--road-km, --track or --folder', '--road-km, or a --folder with tracks')
  const { design } = repeatsPlan(asked.question).cheapest[0]
  return { effectPct: effect, runsPerSetup: design?.runsPerSetup ?? MOST_RUNS_PER_SETUP, isEnough: design !== null }
}
