import { allNodes, type CommandNode, type OptionNode } from './command-tree.ts'

/** Printers of the completion script of each shell. Words of commands and flags hold letters, digits and '-' only. */
export const COMPLETIONS = { bash: bashCompletion, zsh: zshCompletion, fish: fishCompletion }

const path = ({ words }: CommandNode): string => words.map((word) => ` ${word}`).join('')
const quoted = (text: string): string => `'${text.replaceAll("'", "'\\''")}'`
const childNames = ({ children }: CommandNode): string[] => children.map(({ words }) => words[words.length - 1])
const choicesOf = ({ args }: CommandNode): string[] => args.flatMap(({ choices }) => choices)
const takesFiles = ({ args, children }: CommandNode): boolean =>
  children.length === 0 && args.some(({ choices }) => choices.length === 0)

/** What may follow an option that takes a value: one of its choices, a file, or something that nobody can guess. */
function valueKind({ written, choices }: OptionNode): 'choices' | 'files' | 'free' {
  if (choices.length > 0) return 'choices'
  return /<(folder|files?|track|path)/.test(written) ? 'files' : 'free'
}

/** Each option that takes a value, with the command that it belongs to. */
const valued = (root: CommandNode): { node: CommandNode; option: OptionNode }[] =>
  allNodes(root).flatMap((node) => node.options.filter((o) => o.takesValue).map((option) => ({ node, option })))

/** Lines that walk over the words so far and find the command they stand for, in both bash and zsh. */
function findCommand(root: CommandNode, words: string): string[] {
  const known = allNodes(root).filter(({ words: w }) => w.length > 0)
  return [
    `  for word in ${words}; do`,
    '    case "$command $word" in',
    `      ${known.map((node) => quoted(path(node))).join('|')}) command="$command $word" ;;`,
    '    esac',
    '  done',
  ]
}

function bashCompletion(root: CommandNode): string {
  const pattern = (node: CommandNode, o: OptionNode): string =>
    o.flags.map((f) => quoted(`${path(node)} ${f}`)).join('|')
  const values = valued(root).map(({ node, option }) => {
    const kind = valueKind(option)
    const does =
      kind === 'files'
        ? `IFS=$'\\n'; COMPREPLY=($(compgen -f -- "$current"))`
        : kind === 'choices'
          ? `COMPREPLY=($(compgen -W ${quoted(option.choices.join(' '))} -- "$current"))`
          : ':'
    return `    ${pattern(node, option)}) ${does}; return ;;`
  })
  const commands = allNodes(root).map((node) => {
    const words = [...childNames(node), ...choicesOf(node)].join(' ')
    const flags = node.options.flatMap((o) => o.flags).join(' ')
    return `    ${quoted(path(node))}) words=${quoted(words)} flags=${quoted(flags)} files=${takesFiles(node) ? 1 : 0} ;;`
  })
  return `${[
    '# Completion of ceteris for bash: source <(ceteris completion bash)',
    '_ceteris() {',
    `  local current=\${COMP_WORDS[COMP_CWORD]} previous=\${COMP_WORDS[COMP_CWORD-1]} command='' word words='' flags='' files=0`,
    "  local IFS=$' \\t\\n'",
    '  COMPREPLY=()',
    ...findCommand(root, `"\${COMP_WORDS[@]:1:COMP_CWORD-1}"`),
    '  case "$command $previous" in',
    ...values,
    '  esac',
    '  case "$command" in',
    ...commands,
    '  esac',
    '  if [[ $current == -* ]]; then',
    '    COMPREPLY=($(compgen -W "$flags" -- "$current"))',
    '  elif [[ $files == 1 ]]; then',
    "    IFS=$'\\n'",
    '    COMPREPLY=($(compgen -f -- "$current"))',
    '  else',
    '    COMPREPLY=($(compgen -W "$words" -- "$current"))',
    '  fi',
    '}',
    'complete -o filenames -F _ceteris ceteris',
  ].join('\n')}\n`
}

function zshCompletion(root: CommandNode): string {
  const described = (name: string, description: string): string =>
    quoted(`${name}:${description.replaceAll('\\', '\\\\').replaceAll(':', '\\:')}`)
  const values = valued(root).map(({ node, option }) => {
    const kind = valueKind(option)
    const does = kind === 'files' ? '_files' : kind === 'choices' ? `compadd -- ${option.choices.join(' ')}` : ':'
    return `    (${option.flags.map((f) => quoted(`${path(node)} ${f}`)).join('|')}) ${does}; return ;;`
  })
  const commands = allNodes(root).map((node) => {
    const words = [
      ...node.children.map((child) => described(child.words[child.words.length - 1], child.description)),
      ...choicesOf(node).map(quoted),
    ]
    const flags = node.options.flatMap((o) => o.flags.map((flag) => described(flag, o.description)))
    return `    (${quoted(path(node))}) list=(${words.join(' ')}); flags=(${flags.join(' ')}); files=${takesFiles(node) ? 1 : 0} ;;`
  })
  return `${[
    '#compdef ceteris',
    '# Completion of ceteris for zsh: ceteris completion zsh > a file named _ceteris on the fpath',
    '_ceteris() {',
    "  local command='' word files=0",
    '  local -a list flags',
    ...findCommand(root, `\${words[2,CURRENT-1]}`),
    `  case "$command \${words[CURRENT-1]}" in`,
    ...values,
    '  esac',
    '  case "$command" in',
    ...commands,
    '  esac',
    `  if [[ \${words[CURRENT]} == -* ]]; then _describe 'option' flags`,
    '  elif (( files )); then _files',
    "  else _describe 'command' list",
    '  fi',
    '}',
    'if [[ $funcstack[1] == _ceteris ]]; then _ceteris "$@"; else compdef _ceteris ceteris; fi',
  ].join('\n')}\n`
}

function fishCompletion(root: CommandNode): string {
  const lines = allNodes(root).flatMap((node) => {
    const last = node.words[node.words.length - 1]
    const names = childNames(node)
    const seen = node.words.map((word) => `__fish_seen_subcommand_from ${word}`)
    const noChild = names.length > 0 ? [`not __fish_seen_subcommand_from ${names.join(' ')}`] : []
    const when = quoted([...seen, ...noChild].join('; and '))
    const condition = last === undefined && names.length === 0 ? '' : ` -n ${when}`
    const complete = `complete -c ceteris${condition}`
    const children = node.children.map(
      (child) => `${complete} -f -a ${child.words[child.words.length - 1]} -d ${fishQuoted(child.description)}`,
    )
    const choices = choicesOf(node).map((choice) => `${complete} -f -a ${choice}`)
    const files = takesFiles(node) ? [`${complete} -F`] : []
    return [...children, ...choices, ...files, ...node.options.map((option) => `${complete} ${fishOption(option)}`)]
  })
  return `# Completion of ceteris for fish: ceteris completion fish > ~/.config/fish/completions/ceteris.fish\ncomplete -c ceteris -f\n${lines.join('\n')}\n`
}

const fishQuoted = (text: string): string => `'${text.replaceAll('\\', '\\\\').replaceAll("'", "\\'")}'`

function fishOption(option: OptionNode): string {
  const names = option.flags.map((f) => (f.startsWith('--') ? `-l ${f.slice(2)}` : `-s ${f.slice(1)}`)).join(' ')
  const values: Record<ReturnType<typeof valueKind>, string> = {
    choices: ` -x -a ${quoted(option.choices.join(' '))}`,
    files: ' -r -F',
    free: ' -x',
  }
  const value = option.takesValue ? values[valueKind(option)] : ''
  return `${names}${value} -d ${fishQuoted(option.description)}`
}
