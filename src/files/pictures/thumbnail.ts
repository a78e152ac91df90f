import type { Picture } from '../../read/picture/picture.ts'
import { pngOf } from './png.ts'
import type { Pixels } from './png-rows.ts'

/** The longest side of a small picture, pixels. */
const LONGEST_PX = 320
/** Larger pictures take gigabytes when they are decoded. */
export const MOST_MEGAPIXELS = 100
/** Drawn so many times larger at most, and averaged: the renderer alone takes single pixels of a large picture. */
const MOST_FINER = 8

/** The part of the renderer that is used. */
export interface Renderer {
  renderAsync(svg: string, options: { font: { loadSystemFonts: boolean } }): Promise<Pixels>
}

/** A small picture as PNG, or why there is none. */
export type Thumbnail = { png: Uint8Array; reason: null } | { png: null; reason: string; hint: string }

/**
 * A small copy of a JPEG or PNG, upright. It is drawn anew from the pixels, so that nothing else of the file is in it.
 * Its size is read before anything is decoded.
 */
export async function thumbnailOf(bytes: Uint8Array, picture: Picture, renderer: Renderer): Promise<Thumbnail> {
  const { form, widthPx, heightPx } = picture
  if (form === 'another form') return none('is neither JPEG nor PNG', SAVE_AS_JPEG)
  if (!widthPx || !heightPx) return none('does not say how large it is', DAMAGED)
  const megapixels = (widthPx * heightPx) / 1e6
  if (megapixels > MOST_MEGAPIXELS)
    return none(
      `says that it has ${widthPx} × ${heightPx} pixels, expected at most ${MOST_MEGAPIXELS} million`,
      SMALLER,
    )
  const shrink = Math.min(1, LONGEST_PX / Math.max(widthPx, heightPx))
  const small = [widthPx, heightPx].map((side) => Math.max(1, Math.round(side * shrink)))
  const finer = Math.max(1, Math.min(MOST_FINER, Math.floor(1 / shrink)))
  const svg = uprightSvg(bytes, picture, small[0] * finer, small[1] * finer)
  const rendered = await renderer.renderAsync(svg, { font: { loadSystemFonts: false } }).catch(() => null)
  // The renderer draws nothing at all where it cannot decode a picture.
  if (rendered === null || rendered.pixels.every((value) => value === 0)) return none('cannot be decoded', DAMAGED)
  return { png: await pngOf(averaged(rendered, finer), {}, 0), reason: null }
}

const none = (reason: string, hint: string): Thumbnail => ({ png: null, reason, hint })

const SAVE_AS_JPEG =
  'Open it in an image viewer and save it as JPEG, then put that file into the folder too; many telephones can be set to take JPEG.'
const DAMAGED = 'Copy it from the camera again, or open it in an image viewer and save it as JPEG.'
const SMALLER = 'Save a smaller copy of it as JPEG.'

/**
 * The matrix that sets a picture of some width and height upright, by its EXIF orientation.
 * @source CIPA DC-008-2023 (Exif 3.0), 4.6.5.1.6, orientation
 */
function matrixOf(orientation: number, width: number, height: number): number[] {
  switch (orientation) {
    case 2:
      return [-1, 0, 0, 1, width, 0]
    case 3:
      return [-1, 0, 0, -1, width, height]
    case 4:
      return [1, 0, 0, -1, 0, height]
    case 5:
      return [0, 1, 1, 0, 0, 0]
    case 6:
      return [0, 1, -1, 0, height, 0]
    case 7:
      return [0, -1, -1, 0, height, width]
    case 8:
      return [0, -1, 1, 0, 0, width]
    default:
      return [1, 0, 0, 1, 0, 0]
  }
}

function uprightSvg(bytes: Uint8Array, { form, orientation }: Picture, width: number, height: number): string {
  const [across, down] = orientation >= 5 ? [height, width] : [width, height]
  const href = `data:image/${form === 'PNG' ? 'png' : 'jpeg'};base64,${Buffer.from(bytes).toString('base64')}`
  const matrix = matrixOf(orientation, width, height).join(' ')
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${across}" height="${down}"><g transform="matrix(${matrix})"><image width="${width}" height="${height}" preserveAspectRatio="none" href="${href}"/></g></svg>`
}

/** Each pixel the mean of a square of pixels. */
function averaged({ width, height, pixels }: Pixels, side: number): Pixels {
  const [across, down] = [width / side, height / side]
  const small = new Uint8Array(4 * across * down)
  for (let y = 0; y < down; y++) {
    for (let at = 0; at < 4 * across; at++) {
      const x = (at >> 2) * side
      let sum = 0
      for (let j = 0; j < side; j++)
        for (let i = 0; i < side; i++) sum += pixels[4 * ((y * side + j) * width + x + i) + (at & 3)]
      small[4 * across * y + at] = Math.round(sum / (side * side))
    }
  }
  return { width: across, height: down, pixels: small }
}
