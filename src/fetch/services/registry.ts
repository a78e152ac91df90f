import type { Service } from '../types.ts'
import { iem } from './iem.ts'

/** All services of observations, a line each. */
export const SERVICES: readonly Service[] = [iem]

export const serviceOf = (id: string): Service | undefined => SERVICES.find((service) => service.id === id)
