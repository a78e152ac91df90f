import type { Command } from 'commander'
import { addCompletionCommand } from '../shell/completion-command.ts'
import type { ExitCode } from '../shell/exit-codes.ts'
import { packageVersion } from '../shell/package-version.ts'
import { addCheckCommand } from './check-command.ts'
import { addInitCommand } from './init-command.ts'
import { addInspectCommand } from './inspect-command.ts'
import { addWatchCommand } from './watch-command.ts'
import { addWeatherCommand } from './weather-command.ts'

/** Adds the commands for before, during and after a drive, and those about the program itself. */
export function addFieldCommands(program: Command, setExitCode: (code: ExitCode) => void): void {
  addInitCommand(program, setExitCode)
  addCheckCommand(program, setExitCode)
  addInspectCommand(program, setExitCode)
  addWatchCommand(program, setExitCode)
  addWeatherCommand(program, setExitCode)
  addCompletionCommand(program, setExitCode, packageVersion())
}
