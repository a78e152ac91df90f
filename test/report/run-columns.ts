import { QUANTITIES, type Quantity } from '../../src/base/quantities.ts'
import { RUN_QUANTITIES } from '../../src/report/quantities/run-quantities.ts'

/** A column's unit as its name says it. */
const UNIT_OF_SUFFIX: Record<string, string> = {
  mps: 'm/s',
  pct: '%',
  deg: '°',
  km: 'km',
  m: 'm',
  s: 's',
  c: '°C',
  hpa: 'hPa',
  kgm3: 'kg/m³',
  l: 'l',
  kwh: 'kWh',
  mm: 'mm',
  time: 'ISO 8601, UTC',
}

function unitOf(column: string): string {
  if (column.endsWith('_j_per_m')) return 'J/m'
  return UNIT_OF_SUFFIX[column.slice(column.lastIndexOf('_') + 1)] ?? ''
}

/** The block of docs/files.md that lists the columns of runs.csv, made from the table of quantities. */
export function runColumnsBlock(): string {
  const rows = RUN_QUANTITIES.flatMap(({ path, column, label, unit, sd }) => {
    const shown = unit in QUANTITIES ? QUANTITIES[unit as Quantity].si.unit : unit
    const key = `\`runs[].${path}\``
    if (column === null) return [`| – | ${key} | ${label} | ${shown} |`]
    const own = `| \`${column}\` | ${key} | ${label} | ${unitOf(column)} |`
    return sd === null
      ? [own]
      : [own, `| \`${column}_sd\` | \`runs[].${path}_sd\` | its standard deviation | ${unitOf(column)} |`]
  })
  return ['| column | in `report.json` | what | unit |', '|---|---|---|---|', ...rows].join('\n')
}
