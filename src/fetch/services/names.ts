/** Ids of the services of observations, for the command line: it is told without loading them. */
export const SERVICE_IDS = ['dwd', 'meteoswiss', 'fmi', 'smhi', 'eccc', 'iem', 'ghcnh'] as const
