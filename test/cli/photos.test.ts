import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { beforeAll, describe, expect, it } from 'vitest'
import type { Report } from '../../src/report/contract.ts'
import { jpeg, png, type Said } from '../read/picture/pictures.ts'
import { ceteris, folderWith, STEADY_WEATHER, straightTrack } from './command.ts'

/** The drive begins at 52° N 5° E at 08:10 UTC and goes north for four minutes at 25 m/s: 3 km by its middle. */
const TRACKS = {
  'monday.gpx': straightTrack('2024-05-03T08:10:00Z'),
  'later.gpx': straightTrack('2024-05-03T08:40:00Z'),
}
const START: Said['place'] = [52, 0, 0, 'N', 5, 0, 0, 'E']
/** 52.0270° N: 3 km north of the begin. */
const MIDDLE: Said['place'] = [52, 1, 37, 'N', 5, 0, 0, 'E']
const FAR: Said['place'] = [48, 0, 0, 'N', 5, 0, 0, 'E']

const CAMPAIGN = 'time_zone: Europe/Amsterdam\nprivate:\n  home: {lat: 52, lon: 5, radius_m: 300}\n'

const PICTURES: Record<string, Buffer> = {
  'during.jpg': jpeg(640, 480, { clock: '2024:05:03 10:12:00', offset: '+02:00', place: MIDDLE }),
  'zone.png': png(640, 480, { clock: '2024:05:03 10:42:00' }),
  'home.jpg': jpeg(640, 480, { clock: '2024:05:03 10:10:05', offset: '+02:00', place: START }),
  'pump.jpg': jpeg(640, 480, { clock: '2024:05:03 11:05:00', offset: '+02:00' }),
  'named.jpg': jpeg(640, 480, {}),
  'elsewhere.jpg': jpeg(640, 480, { clock: '2024:05:03 10:12:00', offset: '+02:00', place: FAR }),
  'night.jpg': jpeg(640, 480, { clock: '2024:05:03 23:00:00', offset: '+02:00' }),
  'clockless.jpg': jpeg(640, 480, {}),
  'telephone.heic': Buffer.from('\0\0\0\x18ftypheic\0\0\0\0mif1heic', 'latin1'),
}

let folder: string
let report: Report
let page: string
let stderr: string

beforeAll(() => {
  folder = folderWith(join(mkdtempSync(join(tmpdir(), 'photos-')), 'campaign'), {
    ...TRACKS,
    'weather.csv': STEADY_WEATHER,
    'runs.csv': 'track,setup,photo\nmonday.gpx,bare,named.jpg\nlater.gpx,bare,telephone.heic\n',
    'fills.csv': 'time,odometer_km,fuel_l,full\n2024-05-03T07:00Z,100,30,yes\n2024-05-03T09:00Z,200,5,yes\n',
    'campaign.yaml': CAMPAIGN,
  })
  for (const [name, bytes] of Object.entries(PICTURES)) writeFileSync(join(folder, name), bytes)
  const out = join(folder, '..', 'out')
  stderr = ceteris('report', folder, '--out', out, '--photos', '--no-cache', '--cards', 'none').stderr
  report = JSON.parse(readFileSync(join(out, 'report.json'), 'utf8'))
  page = readFileSync(join(out, 'index.html'), 'utf8')
})

const photo = (path: string) => report.photos.find((one) => one.path === path)
const problemsOf = (path: string) => report.problems.filter((one) => one.path === path)
/** The pictures in the page, by their alternative texts. */
const shown = (html: string): string[] =>
  [...html.matchAll(/<img src="data:image\/png;base64,[^"]+" alt="Photo ([^,"]+)/g)].map((match) => match[1])

describe('photos of a campaign', () => {
  it('belong to the drive or the fill by the camera’s offset, by the time zone, by name', () => {
    expect(photo('during.jpg')).toMatchObject({ time: '2024-05-03T08:12:00.000Z', time_from: 'offset', run: 'monday' })
    // 52° 1′ 37″ in degrees; reports are written to six digits.
    expect(photo('during.jpg')?.taken_at).toEqual({ latitude: 52.0269, longitude: 5 })
    // In Amsterdam clocks are two hours ahead of UTC in May (IANA time zone database).
    expect(photo('zone.png')).toMatchObject({ time: '2024-05-03T08:42:00.000Z', time_from: 'time-zone', run: 'later' })
    expect(photo('pump.jpg')).toMatchObject({ run: null, fill: 3 })
    expect(photo('named.jpg')).toMatchObject({ run: 'monday', time: null })
  })

  it('that belong to nothing are told with the reason', () => {
    const reasons = ['elsewhere.jpg', 'night.jpg', 'clockless.jpg'].map((path) => problemsOf(path))
    expect(reasons.map(([{ code }]) => code)).toEqual(Array(3).fill('photo-unmatched'))
    expect(reasons[0][0].message).toMatch(/during the drive monday, but 44[5-9]\.\d km from it/)
    expect(reasons[1][0].message).toMatch(/taken at 2024-05-03T21:00:00.000Z, during no drive and at no fill/)
    expect(reasons[2][0].message).toMatch(/it holds no time/)
  })

  it('are shown small on request; those of private places, of other forms and of nothing are not, and said so', () => {
    expect(shown(page).sort()).toEqual(['during.jpg', 'named.jpg', 'pump.jpg', 'zone.png'])
    expect(page).toContain('img-src data:;')
    expect(photo('home.jpg')).toMatchObject({ private: true, taken_at: null, run: 'monday' })
    expect(problemsOf('home.jpg').map(({ code }) => code)).toEqual(['photo-private'])
    expect(problemsOf('telephone.heic')).toMatchObject([{ code: 'photo-not-shown' }])
    expect(problemsOf('telephone.heic')[0].hint).toMatch(/save it as JPEG/)
    expect(stderr).toContain('telephone.heic')
  })

  it('are not in the page without --photos, and no picture may be loaded from elsewhere', () => {
    const out = join(folder, '..', 'plain')
    ceteris('report', folder, '--out', out, '--no-cache', '--cards', 'none')
    const plain = readFileSync(join(out, 'index.html'), 'utf8')
    expect(shown(plain)).toEqual([])
    // Pictures within the page alone: a figure is saved as PNG by way of one.
    expect(plain).toMatch(/img-src data:;/)
    expect(plain).not.toContain('<img')
    expect(plain).toContain('during.jpg')
    // Pictures are printed; a mere list of them is not, which the paper says.
    const note = (html: string) => /Not printed, and shown in the page[^<]*/.exec(html)![0]
    expect(page).toContain('<section aria-labelledby="photos">')
    expect(note(page)).not.toContain('Photos')
    expect(plain).toContain('<section class="screen-only" aria-labelledby="photos">')
    expect(note(plain)).toContain('Photos of drives and fills')
  })

  it('are not shown while campaign.yaml has errors: a private place with a slip in it hides nothing', () => {
    const slipped = folderWith(join(folder, '..', 'slipped'), {
      ...TRACKS,
      'campaign.yaml': CAMPAIGN.replace('lat: 52', 'latt: 52'),
    })
    writeFileSync(join(slipped, 'home.jpg'), PICTURES['home.jpg'])
    const out = join(folder, '..', 'slipped-out')
    const { status, stderr: told } = ceteris(
      'report',
      slipped,
      '--out',
      out,
      '--photos',
      '--no-cache',
      '--cards',
      'none',
    )
    expect(status).toBe(1)
    expect(shown(readFileSync(join(out, 'index.html'), 'utf8'))).toEqual([])
    expect(told).toMatch(/no photo is shown/)
  })
})
