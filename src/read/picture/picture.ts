import { type Exif, NO_EXIF, readExif } from './exif.ts'

/** What a picture tells without being decoded. */
export interface Picture extends Exif {
  form: 'JPEG' | 'PNG' | 'another form'
  /** As stored, before it is turned upright; null where the file does not say. */
  widthPx: number | null
  heightPx: number | null
}

/**
 * Reads form, size and EXIF of a picture from its segments or chunks; nothing is decoded.
 * @param bytes a file that is a picture by its first bytes
 * @source ISO/IEC 10918-1, annex B (segments of a JPEG file); PNG specification 3rd edition, 5.2, 11.2.1 and 11.3.3.6
 */
export function readPicture(bytes: Uint8Array): Picture {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  if (bytes[0] === 0xff && bytes[1] === 0xd8) return readJpeg(bytes, view)
  if (bytes[0] === 0x89 && bytes[1] === 0x50) return readPng(bytes, view)
  return { ...NO_EXIF, form: 'another form', widthPx: null, heightPx: null }
}

const [START_OF_SCAN, END_OF_IMAGE, APP1] = [0xda, 0xd9, 0xe1]
/** Between the frame headers of all kinds stand markers that are none. */
const isFrame = (marker: number): boolean => marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker)
const EXIF_MARK = [0x45, 0x78, 0x69, 0x66, 0, 0]

function readJpeg(bytes: Uint8Array, view: DataView): Picture {
  let picture: Picture = { ...NO_EXIF, form: 'JPEG', widthPx: null, heightPx: null }
  let at = 2
  while (at + 4 <= bytes.length && bytes[at] === 0xff) {
    const marker = bytes[at + 1]
    if (marker === 0xff) {
      at++
      continue
    }
    if (marker === START_OF_SCAN || marker === END_OF_IMAGE) break
    const end = at + 2 + view.getUint16(at + 2)
    const content = bytes.subarray(at + 4, end)
    if (marker === APP1 && EXIF_MARK.every((byte, i) => content[i] === byte)) {
      picture = { ...picture, ...readExif(content.subarray(EXIF_MARK.length)) }
    }
    if (isFrame(marker) && at + 9 <= bytes.length) {
      picture = { ...picture, heightPx: view.getUint16(at + 5), widthPx: view.getUint16(at + 7) }
    }
    at = end
  }
  return picture
}

function readPng(bytes: Uint8Array, view: DataView): Picture {
  if (bytes.length < 24) return { ...NO_EXIF, form: 'PNG', widthPx: null, heightPx: null }
  const size = { widthPx: view.getUint32(16), heightPx: view.getUint32(20) }
  for (let at = 8; at + 12 <= bytes.length; at += 12 + view.getUint32(at)) {
    if (String.fromCharCode(...bytes.subarray(at + 4, at + 8)) !== 'eXIf') continue
    const block = bytes.subarray(at + 8, at + 8 + view.getUint32(at))
    return { ...readExif(block), form: 'PNG', ...size }
  }
  return { ...NO_EXIF, form: 'PNG', ...size }
}
