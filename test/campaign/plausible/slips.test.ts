import { describe, expect, it } from 'vitest'
import { DAY_START, exampleDay, GATE, ONE_DRIVE } from '../../simulator/example-days.ts'
import { inputFile, reportOf } from '../folder.ts'

/**
 * Slips in values, each with the message and the line to write that a user is told. The campaign is four drives of one road,
 * some 7 km, in steady air; a small car needs about half a litre for each. Factors: NIST SP 811, appendix B.
 */
const HOUR = 3600
const START = (i: number): number => DAY_START + i * HOUR
const TRACKS = [0, 1, 2, 3].map((i) => exampleDay(ONE_DRIVE, { seed: `slip-${i}`, startS: START(i) }).gpx)
const iso = (seconds: number): string => new Date(seconds * 1000).toISOString()

interface Slip {
  tracks?: string[]
  runs?: string
  fills?: string
  weather?: Record<string, string>
  campaign?: string
}

const station = (
  id: string,
  {
    lat = GATE.lat + 0.1,
    lon = GATE.lon + 0.1,
    temperature = (h: number) => 14 + h,
    column = 'temperature_c',
    shiftS = 0,
    hours = 6,
  } = {},
): string => {
  const rows = Array.from({ length: 2 * hours }, (_, i) => {
    const at = DAY_START - HOUR + i * 1800
    return `${iso(at + shiftS)},${id},${lat},${lon},430,${temperature(i / 2).toFixed(1)},2,210`
  })
  return `time,station,lat,lon,elevation_m,${column},wind_speed_mps,wind_from_deg\n${rows.join('\n')}\n`
}
const LITRES = [0.5, 0.52, 0.49, 0.51]
const runs = (amounts: number[] = LITRES, column = 'fuel_l', extra: [string, string[]] | null = null): string =>
  `track,setup,${column}${extra ? `,${extra[0]}` : ''}\n${amounts
    .map((amount, i) => `run-${i}.gpx,${i % 2 ? 'part' : 'bare'},${amount}${extra ? `,${extra[1][i]}` : ''}`)
    .join('\n')}\n`
/** What the table says of when each drive began, without a zone. */
const starts = (shiftS: number): string[] =>
  TRACKS.map((gpx) => {
    const [, first] = /<time>([^<]+)<\/time>/.exec(gpx.slice(gpx.indexOf('<trkpt'))) ?? []
    return iso(Date.parse(first) / 1000 + shiftS)
      .slice(0, 16)
      .replace('T', ' ')
  })
/** A fill half an hour before each drive and one behind the last. */
const fills = ({
  column = 'fuel_l',
  factor = 1,
  km = 8,
  odometer = 'odometer_km',
  shiftS = 0,
  missing = -1,
} = {}): string => {
  const rows = [0, 1, 2, 3, 4].flatMap((i) =>
    i === missing
      ? []
      : [
          `${iso(START(i) - HOUR / 2 + shiftS)},${(1000 + i * km).toFixed(1)},${((i === 0 ? 30 : LITRES[i - 1]) * factor).toFixed(3)}`,
        ],
  )
  return `time,${odometer},${column}\n${rows.join('\n')}\n`
}

const slipped = ({ tracks = TRACKS, runs: rows, fills: log, weather = { 'w.csv': station('W') }, campaign }: Slip) =>
  reportOf(
    [
      ...tracks.map((gpx, i) => inputFile(`run-${i}.gpx`, gpx)),
      ...Object.entries(weather).map(([name, text]) => inputFile(name, text)),
      ...(rows ? [inputFile('runs.csv', rows)] : []),
      ...(log ? [inputFile('fills.csv', log)] : []),
      inputFile('campaign.yaml', campaign ?? 'baseline: bare\nvehicle: {class: car}\n'),
    ],
    { draws: 60 },
  )

/** Only those that this file is about. */
const OWN = new Set([
  'fuel-level',
  'fuel-level-of-drive',
  'trip-computer-level',
  'odometer-off',
  'odometer-disagrees',
  'fills-odometer-unit',
  'track-place-doubtful',
  'station-place-doubtful',
  'temperature-unit-doubtful',
  'weather-time-shifted',
  'weather-zone-doubtful',
  'fills-time-shifted',
  'fill-span-not-used',
  'fuel-by-row-and-log',
  'charge-doubtful',
])

/** Positions of a track with a change to each. */
const placedBy = (gpx: string, change: (lat: string, lon: string) => [string, string]): string =>
  gpx.replace(/lat="([^"]+)" lon="([^"]+)"/g, (_, lat, lon) => {
    const [first, second] = change(lat, lon)
    return `lat="${first}" lon="${second}"`
  })

describe('what is right', () => {
  it.each<[string, Slip]>([
    ['by rows', { runs: runs() }],
    ['by a log', { fills: fills() }],
    [
      'with two stations',
      { runs: runs(), weather: { 'w.csv': station('W'), 'v.csv': station('V', { lat: GATE.lat - 0.2 }) } },
    ],
  ])('has none of these messages, %s', async (_, given) => {
    const { problems } = await slipped(given)
    expect(problems.filter(({ code }) => OWN.has(code))).toEqual([])
  })
})

const gallons = (litres: number): number => Number((litres / 3.785411784).toFixed(4))
const imperial = (litres: number): number => Number((litres / 4.54609).toFixed(4))
const ELECTRIC = 'baseline: bare\nvehicle: {class: car, powertrain: electric, battery_capacity_kwh: 40}\n'
const fahrenheit = (h: number): number => ((14 + h) * 9) / 5 + 32

describe('a slip', () => {
  it.each<[string, Slip, string, RegExp, RegExp]>([
    [
      'US gallons in the column of litres',
      { runs: runs(LITRES.map(gallons)) },
      'fuel-level',
      /US gallons \(times 3\.785/,
      /fuel_gal_us/,
    ],
    [
      'imperial gallons in the column of litres',
      { runs: runs(LITRES.map(imperial)) },
      'fuel-level',
      /imperial gallons \(times 4\.546/,
      /fuel_gal_imp/,
    ],
    [
      'litres in the column of US gallons',
      { runs: runs(LITRES, 'fuel_gal_us') },
      'fuel-level',
      /litres in the column of gallons \(times 0\.264/,
      /[Nn]ame the column fuel_l[.,]/,
    ],
    [
      'litres in the column of imperial gallons',
      { runs: runs(LITRES, 'fuel_gal_imp') },
      'fuel-level',
      /litres in the column of gallons \(times 0\.220/,
      /[Nn]ame the column fuel_l[.,]/,
    ],
    [
      'US gallons in a fuel log',
      { fills: fills({ factor: 1 / 3.785411784 }) },
      'fuel-level',
      /US gallons/,
      /fuel_gal_us/,
    ],
    [
      'consumption per 100 km in the column of amounts',
      { runs: runs([6.2, 6.4, 6.1, 6.3]) },
      'fuel-level',
      /consumption per 100 km/,
      /trip_computer_l_per_100km/,
    ],
    [
      'a lorry taken for a car',
      { runs: runs([2.3, 2.4, 2.3, 2.4]) },
      'fuel-level',
      /another class, such as truck/,
      /class: truck/,
    ],
    [
      'a motorcycle taken for a van',
      { runs: runs([0.28, 0.29, 0.28, 0.29]), campaign: 'baseline: bare\nvehicle: {class: van}\n' },
      'fuel-level',
      /of another class, such as/,
      /Write class: /,
    ],
    [
      'pounds in the column of kilograms',
      {
        runs: runs(
          [0.42, 0.43, 0.42, 0.43].map((kg) => kg / 0.45359237),
          'fuel_kg',
        ),
      },
      'fuel-level',
      /pounds/,
      /fuel_lb/,
    ],
    [
      'kilowatt-hours of a vehicle that is not said to be electric',
      {
        runs: runs(
          [0.9, 0.92, 0.9, 0.91].map((kwh) => kwh * 3),
          'energy_kwh',
        ),
      },
      'fuel-level',
      /the vehicle is electric|of another class/,
      /powertrain: electric|class/,
    ],
    [
      'starts an hour before the recordings, in a zone that is named',
      { runs: runs(LITRES, 'fuel_l', ['time', starts(-HOUR)]), campaign: 'baseline: bare\ntime_zone: UTC\n' },
      'row-time-shifted',
      /an hour later; so it is in 4 of 4 rows with a start/,
      /another time zone or summer time/,
    ],
    [
      'starts two hours off, where no zone is named',
      { runs: runs(LITRES, 'fuel_l', ['time', starts(2 * HOUR)]), campaign: 'baseline: bare\n' },
      'row-time-shifted',
      /2 hours earlier/,
      /campaign\.yaml names no time_zone/,
    ],
    [
      'the logger’s clock an hour off in one drive',
      { runs: runs(LITRES, 'fuel_l', ['time', starts(0).map((time, i) => (i === 2 ? starts(HOUR)[2] : time))]) },
      'row-time-shifted',
      /^the drive of run-2\.gpx began at [^;]*an hour earlier$/,
      /the weather of another hour/,
    ],
    [
      'a drive with the fuel of two',
      { runs: runs([0.5, 0.52, 1.02, 0.51]) },
      'fuel-level-of-drive',
      /2\.\d times what the other drives used/,
      /missed: yes/,
    ],
    [
      'a drive with half its fuel',
      { runs: runs([0.5, 0.52, 0.24, 0.51]) },
      'fuel-level-of-drive',
      /0\.5 times what the other drives used/,
      /full: no/,
    ],
    [
      'an odometer in miles in a column of kilometres',
      { runs: runs(LITRES, 'fuel_l', ['odometer_km', ['4.95', '4.97', '4.96', '4.96']]) },
      'odometer-off',
      /37\.\d % less than GPS|38\.\d % less than GPS/,
      /probably miles.*odometer_mi/,
    ],
    [
      'an odometer in kilometres in a column of miles',
      { runs: runs(LITRES, 'fuel_l', ['odometer_mi', ['8.0', '8.0', '8.0', '8.0']]) },
      'odometer-off',
      /% more than GPS/,
      /probably kilometres.*odometer_km/,
    ],
    [
      'one odometer in miles among drives without',
      { runs: runs(LITRES, 'fuel_l', ['odometer_km', ['4.96', '', '', '']]) },
      'odometer-disagrees',
      /4\.\d|5\.0/,
      /odometer_mi/,
    ],
    [
      'the whole reading in place of the trip',
      { runs: runs(LITRES, 'fuel_l', ['odometer_km', ['4821', '', '', '']]) },
      'odometer-disagrees',
      /4821/,
      /the reading at its end less that at its begin/,
    ],
    [
      'the odometer of a log in miles',
      { fills: fills({ km: 8 / 1.609344 }) },
      'fills-odometer-unit',
      /0\.62\d times as much/,
      /probably miles.*odometer_mi/,
    ],
    [
      'the odometer of a log in kilometres in a column of miles',
      { fills: fills({ odometer: 'odometer_mi' }) },
      'fills-odometer-unit',
      /1\.61\d times as much|1\.60\d times as much/,
      /probably kilometres.*odometer_km/,
    ],
    [
      'a fill that is not in the log',
      { fills: fills({ missing: 2 }) },
      'fuel-level-of-drive',
      /0\.5 times what the other drives used/,
      /full: no/,
    ],
    [
      // 0.5 l on some 8 km are 6.4 l/100 km, which are 37 miles per US gallon (235.2 over it) or 15.7 km per litre.
      'miles per US gallon in the column of l/100 km',
      { runs: runs(LITRES, 'fuel_l', ['trip_computer_l_per_100km', ['37', '36', '38', '37']]) },
      'trip-computer-level',
      /probably these are miles per US gallon/,
      /trip_computer_mpg_us/,
    ],
    [
      'kilometres per litre in the column of l/100 km',
      { runs: runs(LITRES, 'fuel_l', ['trip_computer_l_per_100km', ['15.8', '15.4', '16.0', '15.8']]) },
      'trip-computer-level',
      /probably these are kilometres per litre/,
      /trip_computer_km_per_l/,
    ],
    [
      'US gallons, and a trip computer in l/100 km that tells of which kind they are',
      { runs: runs(LITRES.map(gallons), 'fuel_l', ['trip_computer_l_per_100km', ['6.4', '6.6', '6.3', '6.4']]) },
      'fuel-level',
      /probably these are US gallons/,
      /^Name the column fuel_gal_us/,
    ],
    [
      'a car stated as a lorry, whose trip computer says that the litres are litres',
      {
        runs: runs(LITRES, 'fuel_l', ['trip_computer_l_per_100km', ['6.4', '6.6', '6.3', '6.4']]),
        campaign: 'baseline: bare\nvehicle: {class: truck}\n',
      },
      'fuel-level',
      /%: probably the vehicle is of another class/,
      /^Write class: /,
    ],
    [
      'a station in °F in a column of °C',
      { runs: runs(), weather: { 'w.csv': station('W', { temperature: fahrenheit }), 'v.csv': station('V') } },
      'temperature-unit-doubtful',
      /of W are 58 °C in the middle, while other stations had 15 °C/,
      /name the column temperature_f/,
    ],
    [
      'the only station in °F',
      { runs: runs(), weather: { 'w.csv': station('W', { temperature: fahrenheit }) } },
      'temperature-unit-doubtful',
      /which no road has; in °F/,
      /name the column temperature_f/,
    ],
    [
      '°C in a column of °F',
      { runs: runs(), weather: { 'w.csv': station('W', { column: 'temperature_f' }), 'v.csv': station('V') } },
      'temperature-unit-doubtful',
      /of W are -\d °C in the middle/,
      /name the column temperature_c/,
    ],
    [
      'own notes in °F',
      { runs: runs(LITRES, 'fuel_l', ['temperature_c', ['58', '59', '60', '59']]) },
      'temperature-unit-doubtful',
      /noted for the drives are 59 °C/,
      /name the column temperature_f/,
    ],
    [
      'the fuel in °F',
      { runs: runs(LITRES, 'fuel_l', ['fuel_temperature_c', ['55', '56', '57', '56']]) },
      'temperature-unit-doubtful',
      /the fuel was 56 °C warm.*13 °C/,
      /fuel_temperature_f/,
    ],
    [
      'a station with latitude and longitude exchanged',
      { runs: runs(), weather: { 'w.csv': station('W', { lat: GATE.lon + 0.1, lon: GATE.lat + 0.1 }) } },
      'station-place-doubtful',
      /latitude and longitude exchanged/,
      /W: \{ lat: 47\.\d+, lon: 8\.\d+ \}/,
    ],
    [
      'a station whose longitude lost its sign',
      { runs: runs(), weather: { 'w.csv': station('W', { lon: -(GATE.lon + 0.1) }) } },
      'station-place-doubtful',
      /the sign of the longitude changed/,
      /lon: 8\./,
    ],
    [
      'a station on the other half of the globe',
      { runs: runs(), weather: { 'w.csv': station('W', { lat: -(GATE.lat + 0.1) }) } },
      'station-place-doubtful',
      /the sign of the latitude changed/,
      /lat: 47\./,
    ],
    [
      'a track with latitude and longitude exchanged',
      { runs: runs(), tracks: [...TRACKS.slice(0, 3), placedBy(TRACKS[3], (lat, lon) => [lon, lat])] },
      'track-place-doubtful',
      /latitude and longitude exchanged/,
      /Export it again with 47\./,
    ],
    [
      'a track whose longitude lost its sign',
      { runs: runs(), tracks: [...TRACKS.slice(0, 3), placedBy(TRACKS[3], (lat, lon) => [lat, `-${lon}`])] },
      'track-place-doubtful',
      /the sign of the longitude changed/,
      /Export it again/,
    ],
    [
      'weather of the day before',
      { runs: runs(), weather: { 'w.csv': station('W', { shiftS: -24 * HOUR }) } },
      'weather-time-shifted',
      /a day later they would cover 4 of 4/,
      /Is the date right/,
    ],
    [
      'weather of the year before',
      { runs: runs(), weather: { 'w.csv': station('W', { shiftS: -365 * 24 * HOUR }) } },
      'weather-time-shifted',
      /a year later/,
      /Is the date right/,
    ],
    [
      'weather of another zone',
      { runs: runs(), weather: { 'w.csv': station('W', { shiftS: 9 * HOUR }) } },
      'weather-time-shifted',
      /hours earlier they would cover/,
      /with their offset/,
    ],
    [
      'a fuel log of another zone',
      { fills: fills({ shiftS: 2 * HOUR }) },
      'fills-time-shifted',
      /2 hours earlier it would be 4/,
      /time_zone/,
    ],
    [
      'a fuel log a day off',
      { fills: fills({ shiftS: 24 * HOUR }) },
      'fills-time-shifted',
      /a day earlier it would be 4/,
      /Is the date right/,
    ],
    [
      'a fuel log of last year',
      { fills: fills({ shiftS: -365 * 24 * HOUR }) },
      'fills-time-shifted',
      /a year later/,
      /Is the date right/,
    ],
    [
      'fuel in a row and in the log',
      { runs: runs(), fills: fills() },
      'fuel-by-row-and-log',
      /has fuel in line 2 of runs\.csv; that counts/,
      /.*/,
    ],
    [
      'states of charge as shares in a column of percent',
      {
        runs: `track,setup,soc_before_pct,soc_after_pct\n${[0, 1, 2, 3].map((i) => `run-${i}.gpx,bare,0.8,0.77`).join('\n')}\n`,
        campaign: ELECTRIC,
      },
      'charge-doubtful',
      /no state of charge is above 0\.80 %: these are probably shares/,
      /80 for a battery that is full to 80 %/,
    ],
    [
      'states of charge before and after exchanged',
      {
        runs: `track,setup,soc_before_pct,soc_after_pct\n${[0, 1, 2, 3].map((i) => `run-${i}.gpx,bare,77,80`).join('\n')}\n`,
        campaign: ELECTRIC,
      },
      'charge-doubtful',
      /went from 77 % to 80 % over the drive/,
      /exchanged/,
    ],
    [
      'a capacity that fits no charge',
      {
        runs: `track,setup,soc_before_pct,soc_after_pct,energy_kwh\n${[0, 1, 2, 3].map((i) => `run-${i}.gpx,bare,80,77,4`).join('\n')}\n`,
        campaign: ELECTRIC,
      },
      'charge-doubtful',
      /4\.0 kWh are 3\.33 times what 3 % of 40 kWh are/,
      /the capacity would be about 119 kWh/,
    ],
    [
      'a station whose days are warmest at midnight',
      {
        runs: runs(),
        weather: {
          'w.csv': station('W', {
            hours: 120,
            temperature: (h) => 14 + 5 * Math.cos((2 * Math.PI * (h + 6 - 0.5)) / 24),
          }),
        },
      },
      'weather-zone-doubtful',
      /warmest at/,
      /with their offset/,
    ],
  ])('%s is told with the line to write', async (_, given, code, message, hint) => {
    const { problems } = await slipped(given)
    const found = problems.filter((problem) => problem.code === code)
    if (found.length === 0) console.log(problems.map((p) => [p.code, p.message, p.hint]))
    expect(found.map((problem) => problem.message).join('\n')).toMatch(message)
    expect(found.map((problem) => problem.hint ?? '').join('\n')).toMatch(hint)
    expect(found[0].path).not.toBeNull()
  })
})

it('starts that are noted to some minutes, and ends, say nothing of a clock', async () => {
  const notedAt = (shiftS: number) => runs(LITRES, 'fuel_l', ['time', starts(shiftS)])
  for (const shiftS of [0, 9 * 60, -20 * 60]) {
    const { problems } = await slipped({ runs: notedAt(shiftS) })
    expect(problems.map(({ code }) => code)).not.toContain('row-time-shifted')
  }
})

describe('a hybrid', () => {
  const hybrid = (rows: string, battery: string) =>
    slipped({ runs: rows, campaign: `baseline: bare\nvehicle: {class: car, powertrain: hybrid${battery}}\n` })
  const codes = async (rows: string, battery: string) =>
    (await hybrid(rows, battery)).claims.flatMap(({ caution_codes }) => caution_codes.map(({ code }) => code))
  const withCharge = `track,setup,fuel_l,soc_before_pct,soc_after_pct
run-0.gpx,bare,0.4,60,50
run-1.gpx,part,0.4,60,60
run-2.gpx,bare,0.4,60,50
run-3.gpx,part,0.4,60,60
`

  it('says in its claims that the charge is not known, or has it in its fuel', async () => {
    expect(await codes(runs([0.4, 0.4, 0.4, 0.4]), '')).toContain('battery-not-known')
    expect(await codes(withCharge, '')).toContain('battery-not-known')
    expect(await codes(withCharge, ', battery_capacity_kwh: 1.2')).not.toContain('battery-not-known')
    const { runs: drives, problems } = await hybrid(withCharge, ', battery_capacity_kwh: 1.2')
    // 0.12 kWh from the battery at 0.0745 l/MJ over 0.8 (see the battery's test) are 0.0402 l beside 0.4 l.
    const used = drives.map(({ consumption, distance_m }) => ((consumption?.per_100_km ?? 0) * distance_m) / 1e5)
    expect(used.map((litres) => litres.toFixed(4))).toEqual(['0.4402', '0.4000', '0.4402', '0.4000'])
    expect(problems.filter(({ code }) => OWN.has(code))).toEqual([])
  })
})
