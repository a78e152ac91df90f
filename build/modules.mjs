import { writeModules } from './bundle.mjs'

await writeModules()
