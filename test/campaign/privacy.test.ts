import { expect, it } from 'vitest'
import { runCampaign } from '../../src/campaign/run-campaign.ts'
import { pointsGeoJson } from '../../src/report/points/geojson.ts'
import { exampleDay, GATE, ONE_DRIVE } from '../simulator/example-days.ts'
import { DEFAULTS, inputFile } from './folder.ts'

const of = async (yaml: string) =>
  runCampaign({
    files: [inputFile('a.gpx', exampleDay(ONE_DRIVE).gpx), inputFile('campaign.yaml', yaml)],
    unreadable: [],
    settings: { ...DEFAULTS, draws: 50 },
    version: 'test',
  })

/** Metres from the road's begin, on a flat map. */
const metres = (lat: number, lon: number): number =>
  111_200 * Math.hypot(lat - GATE.lat, (lon - GATE.lon) * Math.cos((GATE.lat * Math.PI) / 180))

it('a private place is on no map, in no outline and in no points file, and every figure stays', async () => {
  const all = await of('title: x\n')
  const some = await of(`title: x\nprivate:\n  home: { lat: ${GATE.lat}, lon: ${GATE.lon} }\n`)
  const nearest = ({ report, along, points }: typeof all): number[] => {
    const rows = [...points].flatMap(({ columns }) =>
      Array.from(columns.latitude, (lat, i) => metres(lat, columns.longitude[i])),
    )
    const [road] = along.roads
    return [
      Math.min(...report.routes[0].outline.map(([lon, lat]) => metres(lat, lon))),
      Math.min(...rows.filter(Number.isFinite)),
      Math.min(...Array.from(road.latitude, (lat, i) => metres(lat, road.longitude[i]))),
    ]
  }
  // The drive begins there; without a radius 500 m are left out (0.5 % for the flat map).
  for (const distance of nearest(all)) expect(distance).toBeLessThan(60)
  for (const distance of nearest(some)) expect(distance).toBeGreaterThan(497)
  expect(some.report.runs).toEqual(all.report.runs)
  expect(some.report.problems.map(({ code }) => code)).toContain('private-places')
  const text = [...pointsGeoJson([...some.points][0])].join('')
  const { features } = JSON.parse(text) as { features: { geometry: unknown }[] }
  expect(features[0].geometry).toBeNull()
  expect(features.at(-1)?.geometry).not.toBeNull()
})
