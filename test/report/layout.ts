import type { Page } from 'playwright-core'

/**
 * What is wrong with how a page's texts lie, measured from their boxes: texts over one another, cut off, or outside of
 * their section. Texts that a box scrolls to are not cut; what is for screen readers alone is no text here.
 */
export function layoutFaults(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    interface Box {
      left: number
      right: number
      top: number
      bottom: number
    }
    const SKIPPED = 'script, style, option, .hidden, .copied, [aria-live]'
    const faults: string[] = []
    const pageWidth = document.documentElement.clientWidth
    /** What an element does with what reaches out of it. */
    const clips = new Map<Element, { how: 'visible' | 'scrolled' | 'cut'; box: Box }>()
    const clipOf = (element: Element) => {
      const known = clips.get(element)
      if (known) return known
      const { overflowX, overflowY } = getComputedStyle(element)
      const scrolls = /auto|scroll/.test(overflowX) || /auto|scroll/.test(overflowY)
      const how = scrolls
        ? ('scrolled' as const)
        : overflowX === 'visible' && overflowY === 'visible'
          ? ('visible' as const)
          : ('cut' as const)
      const clip = { how, box: element.getBoundingClientRect() }
      clips.set(element, clip)
      return clip
    }
    const meet = (a: Box, b: Box): Box => ({
      left: Math.max(a.left, b.left),
      right: Math.min(a.right, b.right),
      top: Math.max(a.top, b.top),
      bottom: Math.min(a.bottom, b.bottom),
    })
    const reachesOut = (a: Box, b: Box): boolean =>
      a.left < b.left - 1.5 || a.right > b.right + 1.5 || a.top < b.top - 1.5 || a.bottom > b.bottom + 1.5

    const seen: { text: string; node: Node; box: Box }[] = []
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
    for (let node = texts.nextNode(); node; node = texts.nextNode()) {
      const text = (node.textContent ?? '').replace(/\s+/g, ' ').trim()
      const parent = node.parentElement
      if (text === '' || !parent || parent.closest(SKIPPED)) continue
      if (!parent.checkVisibility({ checkVisibilityCSS: true, checkOpacity: true })) continue
      const range = document.createRange()
      range.selectNodeContents(node)
      for (const { left, right, top, bottom, height } of range.getClientRects()) {
        if (right - left < 1 || height < 1) continue
        // A line's box is higher than its letters: what stands above capitals and below descenders may meet the next line.
        let box: Box = { left, right, top: top + 0.16 * height, bottom: bottom - 0.16 * height }
        let isScrolled = false
        for (let at: Element | null = parent; at && at !== document.body; at = at.parentElement) {
          const { how, box: frame } = clipOf(at)
          if (how === 'scrolled') isScrolled = true
          const isHidden = frame.right - frame.left < 2 || frame.bottom - frame.top < 2
          if (how === 'cut' && !isScrolled && !isHidden && reachesOut(box, frame))
            faults.push(`cut: "${text.slice(0, 60)}"`)
          if (how !== 'visible') box = meet(box, frame)
          if (at.tagName === 'SECTION' && !isScrolled && (box.left < frame.left || box.right > frame.right + 0.5))
            faults.push(`out of its section: "${text.slice(0, 60)}"`)
        }
        // What is kept for screen readers alone, in a box of a pixel or scrolled out of its frame.
        if (box.right - box.left < 2 || box.bottom - box.top < 2) continue
        if (!isScrolled && (box.right > pageWidth + 1 || box.left < -1))
          faults.push(`off the page: "${text.slice(0, 60)}"`)
        seen.push({ text, node, box })
      }
    }
    seen.sort((a, b) => a.box.top - b.box.top)
    for (const [i, a] of seen.entries()) {
      for (let j = i + 1; j < seen.length && seen[j].box.top < a.box.bottom - 1; j++) {
        const b = seen[j]
        if (a.node !== b.node && a.box.left < b.box.right - 1 && b.box.left < a.box.right - 1)
          faults.push(`over one another: "${a.text.slice(0, 40)}" and "${b.text.slice(0, 40)}"`)
      }
    }
    return [...new Set(faults)]
  })
}
