import { startCompute } from '../../src/app/compute/client.ts'
import { computeOfPage } from '../../src/app/compute/program.ts'

/** The script of a page for tests: the flow alone, without a user interface. */
Object.assign(globalThis, { compute: computeOfPage(), startCompute })
