import { jsonText } from '../../base/json-text.ts'
import { POINT_COLUMNS, pointTime, pointValue, type RunPoints } from './points.ts'

const IN_GEOMETRY = new Set(['time', 'latitude', 'longitude'])

/**
 * Points as GeoJSON: a collection with a point for each step, its values as properties, null where one is not known.
 * @source RFC 7946: longitude before latitude, then the height; WGS 84
 */
export function* pointsGeoJson(points: RunPoints): Generator<string> {
  yield `{"type":"FeatureCollection","features":[\n`
  for (let row = 0; row < points.columns.time.length; row++) {
    const place = (['longitude', 'latitude', 'elevation_m'] as const).map((column) => pointValue(points, column, row))
    const others = POINT_COLUMNS.filter((column) => !IN_GEOMETRY.has(column))
    const feature = {
      type: 'Feature',
      // A place that is not to be shown has no geometry (RFC 7946, 3.2).
      geometry:
        place[0] === null || place[1] === null
          ? null
          : { type: 'Point', coordinates: place.filter((value) => value !== null) },
      properties: {
        run: points.run,
        time: pointTime(points, row),
        ...Object.fromEntries(others.map((column) => [column, pointValue(points, column, row)])),
      },
    }
    yield `${row > 0 ? ',\n' : ''}${jsonText(feature)}`
  }
  yield '\n]}\n'
}
