/** What a drawing takes from the style sheet: written into a saved figure, which has none. */
const STYLES = [
  'fill',
  'fill-opacity',
  'stroke',
  'stroke-width',
  'stroke-dasharray',
  'stroke-linecap',
  'stroke-linejoin',
  'stroke-opacity',
  'paint-order',
  'vector-effect',
  'font-family',
  'font-size',
  'font-weight',
  'text-anchor',
  'visibility',
  'display',
  'opacity',
]
/** A picture has so many dots for each pixel of the page. */
const DOTS_PER_PX = 2
const SVG = 'http://www.w3.org/2000/svg'

/** The choice of a figure and the buttons that save it as SVG or PNG. */
export function figureSaver(): void {
  const select = document.querySelector<HTMLSelectElement>('#figure-choice')
  if (!select) return
  const figures = [
    ...document.querySelectorAll<SVGSVGElement>('svg[role="img"]:not(.glyph, .pair-road svg, .card-drawing)'),
  ]
  const fill = (): void => {
    if (select.options.length > 0) return
    select.append(
      ...figures.map((figure, i) => new Option(`${i + 1}. ${figure.getAttribute('aria-label') ?? ''}`, String(i))),
    )
  }
  for (const event of ['focus', 'pointerdown']) select.addEventListener(event, fill)
  const chosen = (): SVGSVGElement => figures[Number(select.value || 0)]
  const name = (kind: string): string => `figure-${Number(select.value || 0) + 1}.${kind}`
  document.querySelector('#figure-svg')?.addEventListener('click', () => {
    if (figures.length > 0) save(new Blob([standingAlone(chosen())], { type: 'image/svg+xml' }), name('svg'))
  })
  document.querySelector('#figure-png')?.addEventListener('click', async () => {
    if (figures.length > 0) save(await picture(chosen()), name('png'))
  })
}

/** A figure as the text of a file: at its size on the page, with its styles in it. */
function standingAlone(figure: SVGSVGElement): string {
  const copy = withStyles(figure)
  copy.prepend(...patternsOf(copy))
  const { width, height } = figure.getBoundingClientRect()
  copy.setAttribute('xmlns', SVG)
  copy.setAttribute('width', String(width))
  copy.setAttribute('height', String(height))
  copy.setAttribute('overflow', 'visible')
  // What stands left of the frame, such as the figures of an axis, must have room; so must the page's ground.
  const box = figure.getBBox()
  const frame = document.createElementNS(SVG, 'svg')
  const [left, top] = figure.hasAttribute('viewBox') ? [0, 0] : [Math.min(0, box.x - 4), Math.min(0, box.y - 4)]
  const [wide, high] = [
    Math.max(width, figure.hasAttribute('viewBox') ? 0 : box.x + box.width + 4) - left,
    Math.max(height, figure.hasAttribute('viewBox') ? 0 : box.y + box.height + 4) - top,
  ]
  frame.setAttribute('viewBox', `${left} ${top} ${wide} ${high}`)
  frame.setAttribute('width', String(wide))
  frame.setAttribute('height', String(high))
  const ground = document.createElementNS(SVG, 'rect')
  for (const [key, value] of Object.entries({ x: left, y: top, width: wide, height: high })) {
    ground.setAttribute(key, String(value))
  }
  ground.setAttribute('fill', getComputedStyle(document.documentElement).getPropertyValue('--paper').trim())
  frame.append(ground, copy)
  return new XMLSerializer().serializeToString(frame)
}

/** A copy of a drawing with the styles of the page in it. */
function withStyles<Drawn extends SVGElement>(drawn: Drawn): Drawn {
  const copy = drawn.cloneNode(true) as Drawn
  const copies = [copy, ...copy.querySelectorAll<SVGElement>('*')]
  for (const [i, element] of [drawn, ...drawn.querySelectorAll<SVGElement>('*')].entries()) {
    const style = getComputedStyle(element)
    for (const property of STYLES) copies[i].setAttribute(property, style.getPropertyValue(property))
    for (const attribute of ['class', 'id']) copies[i].removeAttribute(attribute)
  }
  return copy
}

/** The hatchings that a drawing is filled with: they stand once in the page, outside of its figures. */
function patternsOf(copy: SVGElement): SVGElement[] {
  const fills = [...copy.querySelectorAll('*')].map((element) => element.getAttribute('fill') ?? '')
  const ids = new Set(fills.flatMap((fill) => /url\(["']?#([^"')]+)/.exec(fill)?.[1] ?? []))
  return [...ids].flatMap((id) => {
    const pattern = document.querySelector<SVGPatternElement>(`pattern[id="${id}"]`)
    if (!pattern) return []
    const styled = withStyles(pattern)
    styled.id = id
    return [styled]
  })
}

async function picture(figure: SVGSVGElement): Promise<Blob> {
  const image = new Image()
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(standingAlone(figure))}`
  await image.decode()
  const canvas = document.createElement('canvas')
  canvas.width = image.naturalWidth * DOTS_PER_PX
  canvas.height = image.naturalHeight * DOTS_PER_PX
  canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height)
  return new Promise((resolve, reject) =>
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('no picture'))), 'image/png'),
  )
}

function save(blob: Blob, name: string): void {
  const link = document.createElement('a')
  link.href = URL.createObjectURL(blob)
  link.download = name
  link.click()
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000)
}
