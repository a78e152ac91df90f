import type { RunRow } from './rows.ts'

type NumberField = { [K in keyof RunRow]: RunRow[K] extends number ? K : never }[keyof RunRow]
export type QuantityOfRun = Exclude<NumberField, 'line'>

/**
 * What a value can be, in the unit of its field; outside it is a slip of unit or decimal point. Common practice, no source.
 * `usual` is an example of a column's name.
 */
export const RANGES: Record<QuantityOfRun, { min: number; max: number; says: string; usual: string }> = {
  fuelLitres: { min: 1e-4, max: 2000, says: '0.0001 to 2000 litres', usual: 'fuel_l' },
  fuelKg: { min: 1e-4, max: 2000, says: '0.0001 to 2000 kg', usual: 'fuel_kg' },
  energyKwh: { min: 1e-5, max: 5000, says: '0.00001 to 5000 kWh', usual: 'energy_kwh' },
  fuelTemperatureK: { min: 223.15, max: 343.15, says: '-50 to 70 °C', usual: 'fuel_temperature_c' },
  tripComputerLitresPer100Km: {
    min: 0.005,
    max: 500,
    says: '0.005 to 500 l/100 km',
    usual: 'trip_computer_l_per_100km',
  },
  gaugeMarkM: { min: 0, max: 5e6, says: '0 to 5000 km', usual: 'gauge_mark_km' },
  consumptionLitresPer100Km: { min: 0.005, max: 500, says: '0.005 to 500 l/100 km', usual: 'consumption_l_per_100km' },
  obdFuelLitres: { min: 1e-4, max: 2000, says: '0.0001 to 2000 litres', usual: 'obd_fuel_l' },
  odometerM: { min: 10, max: 1e7, says: 'a trip of 0.01 to 10000 km', usual: 'odometer_km' },
  payloadKg: { min: 0, max: 50000, says: '0 to 50000 kg', usual: 'payload_kg' },
  tyrePressurePa: { min: 5e4, max: 1.2e6, says: '50 to 1200 kPa', usual: 'tyre_pressure_kpa' },
  accessoriesW: { min: 0, max: 50000, says: '0 to 50000 W', usual: 'accessories_w' },
  socBefore: { min: 0, max: 1, says: '0 to 100 %', usual: 'soc_before_pct' },
  socAfter: { min: 0, max: 1, says: '0 to 100 %', usual: 'soc_after_pct' },
  temperatureK: { min: 213.15, max: 333.15, says: '-60 to 60 °C', usual: 'temperature_c' },
  relativeHumidity: { min: 0, max: 1.05, says: '0 to 105 %', usual: 'relative_humidity_pct' },
  windSpeedMps: { min: 0, max: 60, says: '0 to 60 m/s', usual: 'wind_speed_mps' },
  windFromDeg: { min: 0, max: 360, says: '0 to 360 degrees', usual: 'wind_from_deg' },
}

export const isRunField = (field: string): field is QuantityOfRun => Object.hasOwn(RANGES, field)
