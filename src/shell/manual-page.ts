import { present } from '../base/present.ts'
import { allNodes, type CommandNode } from './command-tree.ts'

/**
 * The manual page in the man macros of roff, from the definitions of the commands alone.
 * @source groff_man(7): TH, SH, SS, TP; \e, \- and \& for signs that roff would take for its own
 */
export function manualPage(root: CommandNode, version: string): string {
  const commands = allNodes(root).filter(({ words, children }) => words.length > 0 && children.length === 0)
  const lines = [
    `.TH CETERIS 1 "" "ceteris ${version}" "User Commands"`,
    '.SH NAME',
    `ceteris \\- ${roff(oneLine(root.description))}`,
    '.SH SYNOPSIS',
    ...commands.flatMap((node) => [
      `.B ${roff(node.usage.split(' [')[0].split(' <')[0])}`,
      roff(usageRest(node)),
      '.br',
    ]),
    '.SH DESCRIPTION',
    roff(
      'Reads the GPS tracks and the weather observations of drives from a folder and answers whether two drives of the same road were comparable, and if not, what differed and what it is worth in fuel.',
    ),
    '.SH COMMANDS',
    ...commands.flatMap(commandLines),
    '.SH EXIT STATUS',
    ...term('0', 'Done.'),
    ...term('1', 'Done, with errors in some inputs; they are listed.'),
    ...term('2', 'Nothing could be done; why is said on standard error.'),
    '.SH FILES',
    ...FILES.flatMap(([name, description]) => term(name, description)),
    '.SH ENVIRONMENT',
    ...term('NO_COLOR', 'When it is set and not empty, nothing is printed in colour; nor with TERM=dumb.'),
    ...term('COLUMNS', 'The width of what is printed where that is no terminal (default: 100).'),
    ...term(
      'HTTPS_PROXY, HTTP_PROXY, NO_PROXY',
      'The proxy through which ceteris weather connects, and hosts that it reaches without; no other command connects to anything.',
    ),
    ...term(
      'CETERIS_CACHE_DIR',
      'The folder below which a folder ceteris-cache-1 keeps what was read of unchanged files between calls (default: a folder ceteris in XDG_CACHE_HOME or ~/.cache, in ~/Library/Caches or in LOCALAPPDATA).',
    ),
  ]
  return `${lines.join('\n')}\n`
}

/** All may have other names and lie anywhere in the folder: what they are is told by their content. */
const FILES: [name: string, description: string][] = [
  ['runs.csv', 'A row per drive: track, setup, fuel used. Optional; ceteris init writes a first one.'],
  ['campaign.yaml', 'The vehicle, setups, stations and margin. Optional; ceteris init writes a first one.'],
  ['*.gpx, *.kml', 'Recordings of drives; also compressed with gzip.'],
  [
    'report/',
    'Written by ceteris report and never read. The next report replaces the files listed in .ceteris-report.json, and no others: index.html, report.json, report.md, runs.csv, pairs.csv, claims.csv, parts.csv, cards/.',
  ],
]

function commandLines(node: CommandNode): string[] {
  return [
    `.SS ${roff(['ceteris', ...node.words].join(' '))}`,
    roff(sentence(node.description)),
    ...node.args.flatMap(({ name, description, choices }) =>
      term(
        `<${name}>`,
        [description, choices.length > 0 ? `one of ${choices.join(', ')}` : ''].filter(Boolean).join(': '),
      ),
    ),
    ...node.options.flatMap(({ written, description }) => term(written, description)),
    ...(node.end === '' ? [] : ['.PP', ...node.end.split('\n').flatMap(endLine)]),
  ]
}

/** A command to paste stays on its line; what is said of it is filled. */
function endLine(line: string): string[] {
  if (/^\s*\$ /.test(line)) return ['.nf', roff(line), '.fi']
  return line.trim() === '' ? ['.PP'] : [roff(line.trim()), '.br']
}

const term = (name: string, description: string): string[] => ['.TP', `.B ${roff(name)}`, roff(sentence(description))]

const usageRest = ({ usage, words }: CommandNode): string =>
  usage
    .split(' ')
    .slice(1 + words.length)
    .join(' ')

const oneLine = (text: string): string => text.replace(/\s+/g, ' ')

const sentence = (text: string): string => {
  const line = oneLine(text)
  return line === '' ? '' : `${line[0].toUpperCase()}${line.slice(1)}${/[.?!]$/.test(line) ? '' : '.'}`
}

/** Text that roff prints as it is, whatever the encoding it expects. */
function roff(text: string): string {
  const plain = text
    .replaceAll('\\', '\\e')
    .replaceAll('-', '\\-')
    .replace(
      /[^\t\u0020-\u007E]/gu,
      (sign) => `\\[u${present(sign.codePointAt(0)).toString(16).toUpperCase().padStart(4, '0')}]`,
    )
  return /^[.']/.test(plain) ? `\\&${plain}` : plain
}
