import { describe, expect, it } from 'vitest'
import { figure, name, say, span } from '../../../src/base/sentence.ts'
import { label, lengthInDrawing, marked } from '../../../src/report/page/sentences.ts'

const sentence = say`${name('lap of 5 km <b>')}: ${span(-1.5, 2, 'wind', 1, { sign: true })}, ± ${figure(0.5, 'temperature', 1, { difference: true })}`

describe('a sentence in the page', () => {
  it('has its values as data for the script, and its names as they are', () => {
    expect(marked(sentence).markup).toBe(
      'lap of 5 km &lt;b&gt;: <data value="-1.5" data-as="wind 1 sign">−1.5</data> to <data value="2" data-as="wind 1 sign">+2.0</data> <span data-unit="wind">m/s</span>, ± <data value="0.5" data-as="temperature 1 difference">0.5</data> <span data-unit="temperature">°C</span>',
    )
  })

  it('is a label as text and as pieces', () => {
    const { markup } = label(sentence)
    expect(markup).toMatch(/^aria-label="lap of 5 km &lt;b&gt;: −1\.5 to \+2\.0 m\/s, ± 0\.5 °C" data-label="/)
    const json = markup.split('data-label="')[1].slice(0, -1).replaceAll('&quot;', '"').replaceAll('&lt;', '<')
    expect(JSON.parse(json.replaceAll('&gt;', '>'))).toEqual([
      'lap of 5 km <b>',
      ': ',
      [-1.5, 'wind 1 sign'],
      ' to ',
      [2, 'wind 1 sign'],
      ' ',
      { unit: 'wind' },
      ', ± ',
      [0.5, 'temperature 1 difference'],
      ' ',
      { unit: 'temperature' },
    ])
  })

  it('needs no pieces where no unit can change', () => {
    expect(label(say`Course of ${name('3 km {wind}')}`).markup).toBe('aria-label="Course of 3 km {wind}"')
  })

  it('names a length in a drawing in kilometres from 1000 m on', () => {
    expect(lengthInDrawing(2000).markup).toContain('data-as="distance 1" data-with-unit="">2 km<')
    expect(lengthInDrawing(500).markup).toContain('data-as="height 0" data-with-unit="">500 m<')
  })
})
