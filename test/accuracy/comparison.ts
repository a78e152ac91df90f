/** One quantity held against one outside reference. */
export interface Comparison {
  /** Never changes: the test knows the rows by it. */
  key: string
  quantity: string
  reference: string
  /** What the deviations are in; `relative` where they are divided by the reference. */
  unit: string
  /** Computed minus reference, one for each case, in that unit. */
  deviations: number[]
  /** No case may be further off. */
  limit: number
  /** Why the limit is where it is. */
  reason: string
}

/** Deviations relative to the reference. */
export const relative = (cases: readonly (readonly [got: number, want: number])[]): number[] =>
  cases.map(([got, want]) => got / want - 1)

export const absolute = (cases: readonly (readonly [got: number, want: number])[]): number[] =>
  cases.map(([got, want]) => got - want)

/** Deviations below this are rounding, which another processor may do otherwise. */
const ROUNDING = 1e-9

const shown = (deviation: number): string =>
  deviation < ROUNDING ? '< 1e-9' : figure(Number(deviation.toPrecision(2)))

const figure = (value: number): string => (value < 1e-3 ? value.toExponential() : String(value))

export const largest = ({ deviations }: Comparison): number => Math.max(...deviations.map(Math.abs))

const mean = ({ deviations }: Comparison): number =>
  deviations.reduce((sum, deviation) => sum + Math.abs(deviation), 0) / deviations.length

function rowOf(comparison: Comparison): string {
  const { quantity, reference, unit, deviations, limit, reason } = comparison
  const sizes = [mean(comparison), largest(comparison)].map(shown)
  return `| ${[quantity, reference, unit, deviations.length, ...sizes, figure(limit), reason].join(' | ')} |`
}

/** The whole page docs/accuracy.md. */
export const accuracyPage = (comparisons: readonly Comparison[]): string => `# How accurate each quantity is

What the program computes, held against something outside it: published values, or another implementation that runs beside it. The deviations are computed by \`npm run accuracy\`, which writes this page; a test computes them again and fails where a figure changed, a limit is passed or a comparison is gone.

Mean and largest deviation are sizes, without sign. \`relative\` is a share of the reference: 0.001 is 0.1 %.

| quantity | held against | in | cases | mean deviation | largest | limit | why that limit |
|---|---|---|---|---|---|---|---|
${comparisons.map(rowOf).join('\n')}

These are the errors of the arithmetic alone. What the answer is uncertain by, from stations, recordings and the vehicle, is drawn with every report and held against simulated drives (\`test/campaign/simulated-truth.test.ts\`).
`
