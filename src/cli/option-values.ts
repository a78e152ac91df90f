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
