import { describe, expect, it } from 'vitest'
import { quantityOf, unitsFor } from '../../src/read/table/quantities.ts'

// Identities are exact by definition (BIPM SI brochure 9th ed.; NIST SP 811 appendix B) unless a row says otherwise.
const ROWS: [column: string, field: string, value: number, want: number, tolerance: number, source: string][] = [
  ['temperature_f', 'temperatureK', 32, 273.15, 1e-9, 'ice point, SI brochure 2.3.1'],
  ['temperature_f', 'temperatureK', 212, 373.15, 1e-9, 'steam point of the Fahrenheit scale, NIST SP 811 B.8'],
  ['temp_c', 'temperatureK', 0, 273.15, 0, 'SI brochure 2.3.1'],
  ['air_temperature', 'temperatureK', 288.15, 288.15, 0, 'CF standard names: canonical unit K'],
  ['air_temperature_c', 'temperatureK', 15, 288.15, 1e-12, 'SI brochure 2.3.1'],
  ['dew_point_c', 'dewPointK', -10, 263.15, 1e-12, 'SI brochure 2.3.1'],
  ['relative_humidity_pct', 'relativeHumidity', 65, 0.65, 1e-15, 'per cent'],
  ['relative_humidity', 'relativeHumidity', 0.65, 0.65, 0, 'CF standard names: canonical unit 1'],
  ['rh_pct', 'relativeHumidity', 40, 0.4, 1e-15, 'per cent'],
  ['station_pressure_inhg', 'stationPressurePa', 29.92, 101320.75, 0.005, 'published: 29.92 inHg = 1013.2075 hPa'],
  ['altimeter_inhg', 'altimeterPa', 30.14, 102065.75, 0.005, 'published: 30.14 inHg = 1020.6575 hPa'],
  ['altimeter_hpa', 'altimeterPa', 1013.25, 101325, 1e-9, 'hecto = 100'],
  ['station_pressure_mbar', 'stationPressurePa', 1013.25, 101325, 1e-9, '1 bar = 100 kPa'],
  ['air_pressure', 'stationPressurePa', 101325, 101325, 0, 'CF standard names: canonical unit Pa'],
  ['sea_level_pressure_hpa', 'seaLevelPressurePa', 1000, 100000, 1e-9, 'hecto = 100'],
  ['station_pressure_mmhg', 'stationPressurePa', 760, 101325, 0.02, '760 mmHg = 1 atm within 1.5e-7, NIST SP 811 B.8'],
  ['wind_speed_kt', 'windSpeedMps', 16, 8.2311, 5e-5, 'published: 16 kt = 8.2311 m/s'],
  ['wind_gust_kt', 'windGustMps', 24, 12.3467, 5e-5, 'published: 24 kt = 12.3467 m/s'],
  ['wind_speed_mph', 'windSpeedMps', 1, 0.44704, 0, '1 mi = 1609.344 m'],
  ['wind_speed_kmh', 'windSpeedMps', 18, 5, 1e-12, 'arithmetic'],
  ['wind_ms', 'windSpeedMps', 3, 3, 0, 'SI'],
  ['wind_dir_deg', 'windFromDeg', 270, 270, 0, 'degree'],
  ['wind_from_direction', 'windFromDeg', 270, 270, 0, 'CF standard names: canonical unit degree'],
  ['precipitation_in', 'precipitationMm', 1, 25.4, 0, '1 in = 25.4 mm'],
  ['elevation_ft', 'elevationM', 1000, 304.8, 1e-9, '1 ft = 0.3048 m'],
  ['fuel_l', 'fuelLitres', 40, 40, 0, 'litre'],
  ['fuel_gal_us', 'fuelLitres', 1, 3.785411784, 0, '231 cubic inches'],
  ['fuel_gal_imp', 'fuelLitres', 1, 4.54609, 0, 'NIST SP 811 appendix B'],
  ['fuel_kg', 'fuelKg', 30, 30, 0, 'SI'],
  ['energy_kwh', 'energyKwh', 12, 12, 0, 'kept in kWh'],
  ['fuel_temperature_c', 'fuelTemperatureK', 15, 288.15, 1e-12, 'SI brochure 2.3.1'],
  ['trip_computer_mpg_us', 'tripComputerLitresPer100Km', 20, 11.7607, 5e-5, 'published: 20 mpg = 11.7607 L/100 km'],
  ['trip_computer_mpg_us', 'tripComputerLitresPer100Km', 40, 5.8804, 5e-5, 'published: 40 mpg = 5.8804 L/100 km'],
  ['trip_computer_mpg_imp', 'tripComputerLitresPer100Km', 1, 282.4809363, 5e-8, 'published: 282.4809363/mpg(imp)'],
  ['trip_computer_km_per_l', 'tripComputerLitresPer100Km', 20, 5, 1e-12, 'arithmetic'],
  ['trip_computer_l_per_100km', 'tripComputerLitresPer100Km', 6.5, 6.5, 0, 'litres per 100 km'],
  ['gauge_mark_mi', 'gaugeMarkM', 100, 160934.4, 1e-9, '1 mi = 1609.344 m'],
  ['odometer_mi', 'odometerM', 1, 1609.344, 0, '1 mi = 1609.344 m'],
  ['odometer_km', 'odometerM', 1, 1000, 0, 'kilo'],
  ['obd_fuel_l', 'obdFuelLitres', 3, 3, 0, 'litre'],
  ['payload_lb', 'payloadKg', 100, 45.359237, 1e-12, '1 lb = 0.45359237 kg'],
  ['tyre_pressure_psi', 'tyrePressurePa', 1, 6894.757293, 5e-7, 'published: psi 6894.757293 Pa'],
  ['tyre_pressure_bar', 'tyrePressurePa', 2.3, 230000, 1e-9, '1 bar = 100 kPa'],
  ['tyre_pressure_kpa', 'tyrePressurePa', 230, 230000, 1e-9, 'kilo'],
  ['accessories_w', 'accessoriesW', 350, 350, 0, 'SI'],
  ['tmpf', 'temperatureK', 69.8, 294.15, 1e-9, 'VOHY row: METAR 21 °C beside tmpf 69.80'],
  ['gust_sknt', 'windGustMps', 24, 12.3467, 5e-5, 'published: 24 kt = 12.3467 m/s'],
  ['pres1', 'stationPressurePa', 29.92, 101320.75, 0.005, 'published: 29.92 inHg = 1013.2075 hPa'],
  ['sknt', 'windSpeedMps', 9, 4.63, 1e-9, 'published: 9 kt = 4.6300 m/s'],
  ['alti', 'altimeterPa', 29.9, 101253.02, 0.005, 'published: 29.90 inHg = 1012.5302 hPa'],
]

describe('quantityOf', () => {
  it.each(ROWS)('%s is %s: %d → %d (± %d, %s)', (column, field, value, want, tolerance) => {
    const quantity = quantityOf(column)
    expect(quantity?.field).toBe(field)
    expect(Math.abs(quantity!.convert(value) - want)).toBeLessThanOrEqual(tolerance)
  })

  it.each(['temperature', 'temperature_x', 'pressure_hpa', 'wind_speed_l', 'fuel', 'note', '', '_c', 'constructor'])(
    'does not know "%s"',
    (column) => expect(quantityOf(column)).toBeNull(),
  )

  it('lists the units of a quantity that it knows', () => {
    expect(unitsFor('temperature_celsius')).toEqual(['k', 'c', 'f'])
    expect(unitsFor('fuel')).toEqual(['l', 'gal_us', 'gal_imp'])
    expect(unitsFor('visibility_m')).toBeNull()
  })

  it('keeps a missing value missing', () => {
    for (const [column] of ROWS) expect(quantityOf(column)!.convert(Number.NaN)).toBeNaN()
  })
})
