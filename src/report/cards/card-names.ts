import type { Report } from '../contract.ts'

const LONGEST_NAME = 60

/**
 * A card's file name for each claim of a report, without shape and ending.
 * @param taken names of files, to which these are added
 */
export const claimCardNames = ({ claims }: Report, taken: Set<string> = new Set()): string[] =>
  claims.map(({ setup, pooled, route }) => fileName(`claim-${setup}-${pooled ? 'all-roads' : (route ?? '')}`, taken))

/** A name that every file system takes, told apart from those already taken by a number. */
export function fileName(words: string, taken: Set<string>): string {
  const plain = words
    .normalize('NFKD')
    .toLowerCase()
    .replace(/\p{M}/gu, '')
    .replace(/[^a-z0-9]+/g, '-')
    .slice(0, LONGEST_NAME)
    .replace(/^-+|-+$/g, '')
  let name = plain
  for (let i = 2; taken.has(name); i++) name = `${plain}-${i}`
  taken.add(name)
  return name
}
