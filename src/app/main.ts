import type { Compute } from './compute/compute.ts'
import { computeOfPage } from './compute/program.ts'

// Until there is a user interface.
const global = globalThis as unknown as { ceteris: Compute }
global.ceteris = computeOfPage()
