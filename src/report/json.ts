import { z } from 'zod'
import { jsonText } from '../base/json-text.ts'
import { type Report, reportSchema } from './contract.ts'
import { roundedDeep } from './round.ts'

/**
 * The text of report.json: the contract's keys in the contract's order, numbers to six significant digits, two spaces,
 * a line end at the end. The same report gives the same bytes. A report that breaks the contract is a bug and throws.
 */
export function reportJson(report: Report): string {
  const ordered = reportSchema.parse(roundedDeep(report))
  return `${jsonText(ordered, 2)}\n`
}

/** The JSON Schema (draft 2020-12) of report.json, as published with the package. */
export function jsonSchema(): Record<string, unknown> {
  const { $schema, ...rest } = z.toJSONSchema(reportSchema, { target: 'draft-2020-12' })
  return { $schema, title: 'ceteris report, version 2', ...rest }
}

/** The text of report.schema.json. */
export function jsonSchemaText(): string {
  return `${jsonText(jsonSchema(), 2)}\n`
}
