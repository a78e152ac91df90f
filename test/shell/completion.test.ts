import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Argument, Command, Option } from 'commander'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { commandTree } from '../../src/shell/command-tree.ts'
import { COMPLETIONS } from '../../src/shell/completion-scripts.ts'
import { manualPage } from '../../src/shell/manual-page.ts'
import { ceteris } from '../cli/command.ts'

let top = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-completion-'))
  writeFileSync(join(top, 'my file.gpx'), '')
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

/** What bash offers after these words, the last of them unfinished. */
function offered(script: string, ...words: string[]): string[] {
  const ask = `${script}
COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _ceteris; printf '%s\\n' "\${COMPREPLY[@]}"`
  const { status, stdout, stderr } = spawnSync('bash', ['-c', ask, 'bash', 'ceteris', ...words], {
    cwd: top,
    encoding: 'utf8',
  })
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
  return stdout.split('\n').filter((line) => line !== '')
}

/** A program with all that a definition can hold: commands in a command, choices, values, short flags, odd texts. */
function sample(): Command {
  const program = new Command('ceteris').description("It's a program").version('1', '--version', 'the version')
  const plan = program.command('plan').description('plan: ahead')
  plan
    .command('repeats')
    .description('how many')
    .option('--power <percent>', 'a power')
    .addHelpText('after', '\nExamples:\n  $ ceteris plan repeats\n.dot')
  plan
    .command('windows')
    .description('when')
    .argument('<folder>', 'a folder')
    .option('-o, --out <folder>', 'goes \\there')
  program.command('pick').addArgument(new Argument('<what>', 'one of two').choices(['left', 'right']))
  program.command('draw').addOption(new Option('--kind <kind>', 'a kind').choices(['line', 'dot']))
  return program
}

describe('completion in bash', () => {
  it('offers commands, options, choices and files where they belong', () => {
    const script = COMPLETIONS.bash(commandTree(sample()))
    expect(offered(script, '')).toEqual(['plan', 'pick', 'draw'])
    expect(offered(script, 'p')).toEqual(['plan', 'pick'])
    expect(offered(script, 'plan', '')).toEqual(['repeats', 'windows'])
    expect(offered(script, 'plan', 'repeats', '--p')).toEqual(['--power'])
    expect(offered(script, 'plan', 'repeats', '--power', '')).toEqual([])
    expect(offered(script, 'plan', 'windows', 'my')).toEqual(['my file.gpx'])
    expect(offered(script, 'plan', 'windows', '-o', 'my')).toEqual(['my file.gpx'])
    expect(offered(script, 'pick', '')).toEqual(['left', 'right'])
    expect(offered(script, 'draw', '--kind', 'd')).toEqual(['dot'])
    expect(offered(script, 'pick', 'plan', '')).toEqual(['left', 'right'])
  })

  it('knows every command and option of the program itself', () => {
    const { status, stdout } = ceteris('completion', 'bash')
    expect(status).toBe(0)
    const commands = offered(stdout, '')
    expect(commands).toEqual(
      expect.arrayContaining(['report', 'init', 'check', 'inspect', 'watch', 'completion', 'manual']),
    )
    const help = ceteris('report', '--help').stdout
    const options = [...help.matchAll(/^ {2}(?:-\w, )?(--[a-z-]+)/gm)].map((m) => m[1])
    expect(options.length).toBeGreaterThan(8)
    expect(offered(stdout, 'report', '--').sort()).toEqual(options.sort())
  })

  it('refuses a shell that it does not know', () => {
    const { status, stderr } = ceteris('completion', 'tcsh')
    expect(status).toBe(2)
    expect(stderr).toContain('bash, zsh, fish')
  })
})

describe('completion in zsh and fish', () => {
  it('names the same commands, options and choices, with their descriptions', () => {
    const tree = commandTree(sample())
    const zsh = COMPLETIONS.zsh(tree)
    expect(zsh).toMatch(/^#compdef ceteris\n/)
    expect(zsh).toContain("'plan:plan\\: ahead'")
    expect(zsh).toContain("(' plan windows --out'|' plan windows -o') _files")
    expect(zsh).toContain("(' draw --kind') compadd -- line dot")
    const fish = COMPLETIONS.fish(tree)
    expect(fish).toContain(
      "-n '__fish_seen_subcommand_from plan; and not __fish_seen_subcommand_from repeats windows' -f -a repeats -d 'how many'",
    )
    expect(fish).toContain("-l out -s o -r -F -d 'goes \\\\there'")
    expect(fish).toContain("-l kind -x -a 'line dot'")
    expect(fish).toContain('-f -a right')
  })
})

describe('the manual page', () => {
  it('has every command with its arguments, options and examples', () => {
    const page = manualPage(commandTree(sample()), '1.2.3')
    expect(page).toMatch(/^\.TH CETERIS 1 "" "ceteris 1\.2\.3"/)
    expect(page).toContain('.SS ceteris plan repeats\nHow many.')
    expect(page).toContain('.TP\n.B \\-o, \\-\\-out <folder>\nGoes \\ethere.')
    expect(page).toContain('One of two: one of left, right.')
    expect(page).toContain('  $ ceteris plan repeats')
    // A line of text that begins with a point would be a request of roff.
    expect(page).toContain('\n\\&.dot\n')
  })

  it('is printed for the program itself, in signs that every roff knows', () => {
    const { status, stdout } = ceteris('manual')
    expect(status).toBe(0)
    for (const command of ['report', 'init', 'check', 'inspect', 'watch', 'completion']) {
      expect(stdout).toContain(`.SS ceteris ${command}\n`)
    }
    for (const part of ['EXIT STATUS', 'FILES', 'ENVIRONMENT']) expect(stdout).toContain(`.SH ${part}\n`)
    expect(stdout).toContain('CETERIS_CACHE_DIR')
    expect(stdout).toMatch(/^[\t\n -~]*$/)
    for (const [request] of stdout.matchAll(/^\..*/gm)) {
      expect(request).toMatch(/^\.(TH|SH|SS|TP|B|PP|br|nf|fi)\b/)
    }
  })
})
