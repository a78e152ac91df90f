import { wrapped } from '../report/terminal/terminal-text.ts'

/** What stands at the end of a command's help: examples that work when pasted, and its exit codes. */
export function helpEnd(
  examples: [command: string, does: string][],
  codes: { 0: string; 1: string; 2: string },
): string {
  const lines = examples.flatMap(([command, does]) => [`  $ ${command}`, `  ${does}`])
  return `
${examples.length === 1 ? 'Example' : 'Examples'}:
${lines.join('\n')}

Exit codes: 0 ${codes[0]}; 1 ${codes[1]}; 2 ${codes[2]}.`
}

/** A help text with its long lines broken; a command to paste goes on behind a backslash, so that it still works. */
export function wrappedHelp(text: string, width: number): string {
  return text
    .split('\n')
    .flatMap((line) => {
      if (line.length <= width) return [line]
      const [indent] = line.match(/^ */) ?? ['']
      if (!line.startsWith('$ ', indent.length)) return wrapped(line.trim(), width, indent)
      const parts = wrapped(line.trim(), width - 2, indent, `${indent}    `)
      return parts.map((part, i) => (i < parts.length - 1 ? `${part} \\` : part))
    })
    .join('\n')
}
