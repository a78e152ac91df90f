declare module 'psychrolib' {
  const psychrolib: {
    IP: number
    SI: number
    SetUnitSystem(system: number): void
    /** °C → Pa, in SI. */
    GetSatVapPres(temperatureC: number): number
    GetTDewPointFromRelHum(temperatureC: number, relativeHumidity: number): number
    GetRelHumFromTDewPoint(temperatureC: number, dewPointC: number): number
    GetHumRatioFromRelHum(temperatureC: number, relativeHumidity: number, pressurePa: number): number
    GetMoistAirDensity(temperatureC: number, humidityRatio: number, pressurePa: number): number
    GetStandardAtmPressure(altitudeM: number): number
  }
  export default psychrolib
}
