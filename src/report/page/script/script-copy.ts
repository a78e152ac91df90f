/** The buttons that copy a statement. */
export function copyButtons(): void {
  for (const button of document.querySelectorAll<HTMLElement>('button[data-copy]')) {
    button.addEventListener('click', async () => {
      const source = document.getElementById(button.dataset.copy ?? '')
      const said = button.parentElement?.querySelector('.copied')
      if (!source || !said) return
      said.textContent = ''
      const done = await copied(source)
      // A screen reader speaks of what changes: the same words once more must come anew.
      setTimeout(() => {
        said.textContent = done ? 'Copied.' : 'Not copied: the text is selected, copy it by hand.'
      }, 100)
    })
  }
}

async function copied(source: Element): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(source.textContent ?? '')
    return true
  } catch {
    // A page from disk may be refused the clipboard; what is selected can be copied the old way, or by hand.
    const range = document.createRange()
    range.selectNodeContents(source)
    const selection = getSelection()
    selection?.removeAllRanges()
    selection?.addRange(range)
    return document.execCommand('copy')
  }
}

/** Opens all details while the page is printed. */
export function openForPaper(): void {
  const opened: HTMLDetailsElement[] = []
  addEventListener('beforeprint', () => {
    for (const details of document.querySelectorAll<HTMLDetailsElement>('details:not([open])')) {
      details.open = true
      opened.push(details)
    }
  })
  addEventListener('afterprint', () => {
    for (const details of opened.splice(0)) details.open = false
  })
}
