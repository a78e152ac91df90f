import type { Service } from '../types.ts'
import { dwd } from './dwd.ts'
import { eccc } from './eccc.ts'
import { fmi } from './fmi.ts'
import { ghcnh } from './ghcnh.ts'
import { iem } from './iem.ts'
import { meteoswiss } from './meteoswiss.ts'
import { openMeteo } from './open-meteo.ts'
import { smhi } from './smhi.ts'

/** All services, a line each. */
export const SERVICES: readonly Service[] = [dwd, meteoswiss, fmi, smhi, eccc, iem, ghcnh, openMeteo]
