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
