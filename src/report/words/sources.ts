import type { Report } from '../contract.ts'

/** The credit line of a source with its licence, and what must be known of it. */
export function sourceLine({ credit, licence, purpose, provisional }: Report['sources'][number]): string {
  const model = purpose === 'model' ? '; a model, not an observation' : ''
  const early = provisional ? '; provisional, as fetched within ten days' : ''
  return `${credit} (${licence}${model}${early})`
}
