import { describe, expect, it } from 'vitest'
import { html } from '../../../src/report/markup.ts'
import { label, said, sayer } from '../../../src/report/page/said.ts'
import { fixture, run } from '../fixture.ts'

/** The values that the page's script would convert, as "value in SI: how". */
const values = (markup: string): string[] =>
  [...markup.matchAll(/<data value="([^"]*)" data-as="([^"]*)">/g)].map(([, value, as]) => `${value}: ${as}`)
const textOf = (markup: string): string => markup.replace(/<[^>]*>/g, '')

describe('figures in sentences', () => {
  it.each([
    ['the nearest used is up to 15 km away', ['15000: distance 0']],
    ['drive with 72 km/h while moving', ['20: speed 0']],
    ['wind 1.2 to 2.0 m/s from 50°', ['1.2: wind 1', '2: wind 1']],
    ['headwind +1.5 m/s, then −0.5 m/s', ['1.5: wind 1 sign', '-0.5: wind 1']],
    ['8 to 15 °C, air 1.125 kg/m³', ['8: temperature 0', '15: temperature 0', '1.125: density 3']],
    ['± 0.5 °C from day to day', ['0.5: temperature 1 difference']],
    ['20 ± 2 °C', ['20: temperature 0', '2: temperature 0 difference']],
    // A small whole number needs a digit more: 2 m/s are 4.5 mph.
    ['over 2 m/s', ['2: wind 1']],
    ['6.57 l/100 km, 0.05 l', ['6.57: litres 2', '0.05: volume 2']],
    ['6.5 l per 100 km', ['6.5: volume 1']],
    ['wind at 10 m, climbs below 5 m', ['5: height 1']],
    ['±2 % of 400 draws, 90 minutes, 1 mi, 5 months, 2024-05-03 km, route-1 m, 3 kmph', []],
  ])('%s', (text, want) => {
    const { markup } = html`${said(text)}`
    expect(values(markup)).toEqual(want)
    expect(textOf(markup)).toBe(text)
  })

  it('are left alone in names, and markup in a text stays text', () => {
    const say = sayer({ ...fixture, runs: [run('lap of 5 km', 8, { setup: '3 kg {2|wind 1} <b>' })] })
    const { markup } = say('lap of 5 km with 3 kg {2|wind 1} <b>: 7 km/h')
    expect(values(markup)).toHaveLength(1)
    expect(markup).toContain('lap of 5 km with 3 kg {2|wind 1} &lt;b&gt;: ')
  })

  it('stand in a label for the script, with what they are', () => {
    expect(label('Map: −1.5 to 2.0 m/s').markup).toBe(
      'aria-label="Map: −1.5 to 2.0 m/s" data-label="Map: {-1.5|wind 1} to {2|wind 1} {wind}"',
    )
    expect(label('Course of route-1').markup).toBe('aria-label="Course of route-1"')
  })
})
