import type { Command } from 'commander'
import { addCheckCommand } from './check-command.ts'
import { addCompletionCommand } from './completion-command.ts'
import type { ExitCode } from './exit-codes.ts'
import { addInitCommand } from './init-command.ts'
import { addInspectCommand } from './inspect-command.ts'
import { packageVersion } from './package-version.ts'
import { addWatchCommand } from './watch-command.ts'

/** Adds the commands for before, during and after a drive, and those about the program itself. */
export function addFieldCommands(program: Command, setExitCode: (code: ExitCode) => void): void {
  addInitCommand(program, setExitCode)
  addCheckCommand(program, setExitCode)
  addInspectCommand(program, setExitCode)
  addWatchCommand(program, setExitCode)
  addCompletionCommand(program, setExitCode, packageVersion())
}
