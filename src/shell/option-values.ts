import { InvalidArgumentError } from 'commander'

/** A parser for an option that takes a number. */
export function numberFrom(min: number, max: number): (text: string) => number {
  return (text) => {
    const value = Number(text)
    if (text.trim() !== '' && value >= min && value <= max) return value
    throw new InvalidArgumentError(`Expected a number from ${min} to ${max}.`)
  }
}

/** A parser for an option that takes a whole number. */
export function wholeFrom(min: number, max: number): (text: string) => number {
  return (text) => {
    if (/^\d+$/.test(text) && Number(text) >= min && Number(text) <= max) return Number(text)
    throw new InvalidArgumentError(`Expected a whole number from ${min} to ${max}.`)
  }
}

/** A parser for an option that takes a part of a whole: 3/8 is the third of eight. */
export function partFrom(text: string): { number: number; of: number } {
  const [number, of] = /^(\d+)\/(\d+)$/.exec(text)?.slice(1).map(Number) ?? []
  if (number >= 1 && of >= number && of <= 100_000) return { number, of }
  throw new InvalidArgumentError('Expected a part and the number of parts, such as 3/8.')
}
