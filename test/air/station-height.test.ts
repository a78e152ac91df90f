import { describe, expect, it } from 'vitest'
import { heightFromNeighbours } from '../../src/air/station-height.ts'
import { loadStations } from '../../src/read/weather/stations/stations.ts'

describe('a height from neighbours', () => {
  it('is within its doubt of the true one as often as a standard deviation promises, by leaving stations out', async () => {
    // The truth are the heights of OurAirports; every 40th station is estimated from the others.
    const known = (await loadStations()).all().filter(({ elevationM }) => !Number.isNaN(elevationM))
    const off = known
      .filter((_, i) => i % 40 === 0)
      .flatMap((station) => {
        const others = known.filter(({ code }) => code !== station.code)
        const height = heightFromNeighbours(station.latitude, station.longitude, others)
        return height ? [Math.abs(height.elevationM - station.elevationM) / height.elevationSdM] : []
      })
    expect(off.length).toBeGreaterThan(300)
    const within = (sds: number) => off.filter((one) => one <= sds).length / off.length
    expect(within(1)).toBeGreaterThan(0.68)
    expect(within(1)).toBeLessThan(0.88)
    expect(within(3)).toBeGreaterThan(0.94)
  })

  it('is not guessed where nobody is near', () => {
    expect(heightFromNeighbours(-48, -123, [{ latitude: 50, longitude: 8, elevationM: 100 }])).toBeNull()
  })
})
