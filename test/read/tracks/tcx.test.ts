import { describe, expect, it } from 'vitest'
import { kindOf } from '../../../src/read/kind.ts'
import { readTcx } from '../../../src/read/tracks/tcx.ts'

/** After the elements of TrainingCenterDatabasev2.xsd and ActivityExtensionv2.xsd, in their order. */
const TCX = `<?xml version="1.0" encoding="UTF-8"?>
<TrainingCenterDatabase xmlns="http://www.garmin.com/xmlschemas/TrainingCenterDatabase/v2">
<Activities><Activity Sport="Other"><Id>2012-05-07T06:39:46Z</Id>
<Lap StartTime="2012-05-07T06:39:46Z"><TotalTimeSeconds>2</TotalTimeSeconds><DistanceMeters>30</DistanceMeters><Calories>0</Calories><Intensity>Active</Intensity><TriggerMethod>Manual</TriggerMethod>
<Track>
<Trackpoint><Time>2012-05-07T06:39:46Z</Time><Position><LatitudeDegrees>48.5</LatitudeDegrees><LongitudeDegrees>-11.25</LongitudeDegrees></Position><AltitudeMeters>501.4</AltitudeMeters><DistanceMeters>0</DistanceMeters><Extensions><ns3:TPX xmlns:ns3="http://www.garmin.com/xmlschemas/ActivityExtension/v2"><ns3:Speed>15.2</ns3:Speed><ns3:Watts>210</ns3:Watts></ns3:TPX></Extensions></Trackpoint>
<Trackpoint><Time>2012-05-07T06:39:47.500Z</Time><Position><LatitudeDegrees>48.50014</LatitudeDegrees><LongitudeDegrees>-11.25</LongitudeDegrees></Position><DistanceMeters>15.2</DistanceMeters></Trackpoint>
<Trackpoint><Time>2012-05-07T06:39:48Z</Time><HeartRateBpm><Value>90</Value></HeartRateBpm></Trackpoint>
</Track></Lap>
<Lap StartTime="2012-05-07T06:40:00Z"><Track><Trackpoint><Time>2012-05-07T06:40:00Z</Time><Position><LatitudeDegrees>48.6</LatitudeDegrees><LongitudeDegrees>-11.25</LongitudeDegrees></Position></Trackpoint></Track></Lap>
</Activity></Activities>
<Courses><Course><Name>planned</Name><Track><Trackpoint><Time>2012-05-07T06:40:00Z</Time><Position><LatitudeDegrees>1</LatitudeDegrees><LongitudeDegrees>2</LongitudeDegrees></Position></Trackpoint></Track></Course></Courses>
</TrainingCenterDatabase>`

describe('TCX', () => {
  it('reads an activity with its laps as segments, and no planned course', () => {
    expect(kindOf(TCX)).toBe('tcx')
    const { value, problems } = readTcx(TCX)
    expect(problems).toEqual([])
    expect(value!.routeCount).toBe(1)
    expect(value!.tracks).toHaveLength(1)
    const [track] = value!.tracks
    const first = Date.UTC(2012, 4, 7, 6, 39, 46) / 1000
    expect(Array.from(track.time)).toEqual([first, first + 1.5, first + 2, first + 14])
    expect(Array.from(track.latitude)).toEqual([48.5, 48.50014, Number.NaN, 48.6])
    expect(Array.from(track.longitude)).toEqual([-11.25, -11.25, Number.NaN, -11.25])
    expect(track.elevation[0]).toBe(501.4)
    expect(Array.from(track.segmentStart)).toEqual([0, 3])
    expect(track.logged.speedMps?.values[0]).toBe(15.2)
    expect(track.logged.powerW?.values[0]).toBe(210)
    expect(Array.from(track.logged.odometerM?.values ?? []).slice(0, 2)).toEqual([0, 15.2])
  })

  it('cut off or damaged: what stands before is kept, with the place; a document type is refused', () => {
    const cut = readTcx(TCX.slice(0, TCX.indexOf('HeartRateBpm')))
    expect(cut.value!.tracks[0].time.length).toBe(2)
    expect(cut.problems.map(({ code, severity }) => [code, severity])).toEqual([['xml-not-well-formed', 'warning']])
    const empty = readTcx('<TrainingCenterDatabase><Activities>')
    expect(empty.value).toBeNull()
    expect(readTcx(`<!DOCTYPE x [<!ENTITY a "b">]>${TCX.slice(TCX.indexOf('<Tr'))}`).problems[0].code).toBe(
      'doctype-refused',
    )
    const garbage = readTcx(TCX.replace('48.50014', 'north'))
    expect(garbage.problems.map(({ code, line }) => [code, line])).toEqual([['tcx-value-unreadable', 7]])
  })
})
