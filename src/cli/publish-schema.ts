import { writeFileSync } from 'node:fs'
import { jsonSchemaText } from '../report/json.ts'

/** A step of the build: writes the schema that is published with the package beside the compiled program. */
writeFileSync(new URL('../report.schema.json', import.meta.url), jsonSchemaText())
