import { Argument, type Command } from 'commander'
import { DONE, type ExitCode } from './exit-codes.ts'
import { helpEnd } from './help-text.ts'

const SHELLS = ['bash', 'zsh', 'fish'] as const
type Shell = (typeof SHELLS)[number]

const END = helpEnd(
  [
    [
      'source <(ceteris completion bash)',
      'completes commands, options and files in this bash; put the line into ~/.bashrc to keep it',
    ],
    ['ceteris completion zsh > ~/.zfunc/_ceteris', 'for zsh, where ~/.zfunc is on its fpath before compinit runs'],
    ['ceteris completion fish > ~/.config/fish/completions/ceteris.fish', 'for fish'],
  ],
  { 0: 'printed', 1: 'never', 2: 'no such shell' },
)

const MANUAL_END = helpEnd([['ceteris manual | man -l -', 'shows the manual where man is installed']], {
  0: 'printed',
  1: 'never',
  2: 'wrong options',
})

/** Adds the commands `completion` and `manual`, which print what they find in the program's own definition. */
export function addCompletionCommand(program: Command, setExitCode: (code: ExitCode) => void, version: string): void {
  program
    .command('completion')
    .description('print a script that lets a shell complete commands and options')
    .addArgument(new Argument('<shell>', 'the shell').choices(SHELLS))
    .addHelpText('after', END)
    .exitOverride()
    .action(async (shell: Shell) => {
      const { commandTree } = await import('./command-tree.ts')
      const { COMPLETIONS } = await import('./completion-scripts.ts')
      process.stdout.write(COMPLETIONS[shell](commandTree(program)))
      setExitCode(DONE)
    })
  program
    .command('manual')
    .description('print the manual page, for man')
    .addHelpText('after', MANUAL_END)
    .exitOverride()
    .action(async () => {
      const { commandTree } = await import('./command-tree.ts')
      const { manualPage } = await import('./manual-page.ts')
      process.stdout.write(manualPage(commandTree(program), version))
      setExitCode(DONE)
    })
}
