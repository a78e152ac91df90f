import { plainText } from '../../base/sentence.ts'
import { rankedSlots, type Slot } from '../../plan/windows.ts'
import { escaped } from '../../report/markup.ts'
import { day, local, pictureWords, slotTitle, type WindowsSubject } from '../../report/words/plans/windows.ts'

/** The plan as a picture: a row a day, a bar for each start, night and rain marked by shape as well as by shade. */
export function windowsSvg(slots: Slot[], subject: WindowsSubject): string {
  const names = [...new Set(slots.map((s) => day(s.startTime, subject)))]
  const words = pictureWords(subject)
  const [left, rowHeight, width] = [90, 84, 720]
  const hourOf = (slot: Slot): number => {
    const at = local(slot.startTime, subject)
    return at.hour + at.minute / 60
  }
  const stepH = slots.length > 1 ? (slots[1].startTime - slots[0].startTime) / 3600 : 1
  const x = (hour: number): number => left + (hour / 24) * width
  const best = rankedSlots(slots)[0]
  const f = (value: number): string => String(Number(value.toFixed(1)))
  const bars = slots.map((slot) => {
    const base = 50 + names.indexOf(day(slot.startTime, subject)) * rowHeight + 56
    const at = f(x(hourOf(slot)))
    const barWidth = f((stepH / 24) * width - 1)
    const high = slot.difference ? (slot.difference.score / 100) * 50 : 0
    const title = `<title>${escaped(plainText(slotTitle(slot, subject)))}</title>`
    const night =
      slot.phase === 'day' ? '' : `<rect x="${at}" y="${base - 50}" width="${barWidth}" height="50" fill="#dfe3ea"/>`
    const bar = `<rect x="${at}" y="${f(base - high)}" width="${barWidth}" height="${f(high)}" fill="${slot === best ? '#7a3b00' : '#2f6f8f'}"/>`
    const rain = slot.rain ? `<text x="${at}" y="${base + 11}" font-size="9">r</text>` : ''
    return `<g>${title}${night}${bar}${rain}</g>`
  })
  const rows = names.map((name, i) => {
    const base = 50 + i * rowHeight + 56
    const hours = [0, 6, 12, 18, 24].map(
      (h) => `<text x="${f(x(h))}" y="${base + 22}" text-anchor="middle" font-size="10">${h}</text>`,
    )
    return `<text x="8" y="${base - 20}" font-size="12">${name}</text><line x1="${left}" x2="${left + width}" y1="${base}" y2="${base}" stroke="#555"/>${hours.join('')}`
  })
  const height = 50 + names.length * rowHeight + 20
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${left + width + 20} ${height}" font-family="sans-serif" role="img">
<title>${words.title}</title>
<rect width="100%" height="100%" fill="#fff"/>
<text x="8" y="22" font-size="14">${words.heading}</text>
<text x="8" y="38" font-size="10">${words.key}</text>
${rows.join('\n')}
${bars.join('\n')}
</svg>
`
}
