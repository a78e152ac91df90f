import type { EventEmitter } from 'node:events'
import type { Command, Option } from 'commander'

/** What completion and manual need to know of a command, read from its definition. */
export interface CommandNode {
  /** Words after the program's name, such as ['plan', 'repeats']; empty for the program itself. */
  words: string[]
  description: string
  usage: string
  /** Name as in the usage, description, and whether it stands for files or folders, as all our arguments but the fixed ones do. */
  args: { name: string; description: string; choices: readonly string[] }[]
  options: OptionNode[]
  /** What stands behind the options in the help: examples and exit codes. */
  end: string
  children: CommandNode[]
}

export interface OptionNode {
  /** `--margin`, and `-m` where there is one. */
  flags: string[]
  /** As written in the help: `--margin <percent>`. */
  written: string
  description: string
  takesValue: boolean
  choices: readonly string[]
}

/** The tree of commands below and with a program. */
export function commandTree(command: Command, words: string[] = []): CommandNode {
  const help = command.createHelp()
  const children = help.visibleCommands(command).filter((child) => child.name() !== 'help')
  return {
    words,
    description: command.description(),
    usage: help.commandUsage(command),
    args: command.registeredArguments.map((argument) => ({
      name: help.argumentTerm(argument),
      description: argument.description,
      choices: argument.argChoices ?? [],
    })),
    options: help.visibleOptions(command).map((option) => optionNode(option, help.optionDescription(option))),
    end: helpEndOf(command),
    children: children.map((child) => commandTree(child, [...words, child.name()])),
  }
}

const optionNode = (option: Option, description: string): OptionNode => ({
  flags: [option.long, option.short].filter((flag) => flag !== undefined && flag !== null),
  written: option.flags,
  description,
  takesValue: option.required || option.optional,
  choices: option.argChoices ?? [],
})

/** The command and all below it. */
export const allNodes = (node: CommandNode): CommandNode[] => [node, ...node.children.flatMap(allNodes)]

/** Commander keeps texts that were added to a help as listeners, which write when the help is printed. */
function helpEndOf(command: Command): string {
  let text = ''
  const write = (part: string): void => {
    text += part
  }
  const emitter = command as unknown as EventEmitter
  emitter.emit('afterHelp', { error: false, command, write })
  return text.trim()
}
