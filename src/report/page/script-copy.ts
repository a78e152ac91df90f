/** Copying of statements, and details opened for paper; travels as its own text, see script-values.ts. */
export function copyAndPrint(doc: Document): void {
  const selectText = (source: Element): boolean => {
    const range = doc.createRange()
    range.selectNodeContents(source)
    const selection = getSelection()
    selection?.removeAllRanges()
    selection?.addRange(range)
    return doc.execCommand('copy')
  }
  for (const button of doc.querySelectorAll<HTMLElement>('button[data-copy]')) {
    button.addEventListener('click', async () => {
      const source = doc.getElementById(button.dataset.copy ?? '')
      const said = button.parentElement?.querySelector('.copied')
      if (!source || !said) return
      said.textContent = ''
      let done = false
      try {
        await navigator.clipboard.writeText(source.textContent ?? '')
        done = true
      } catch {
        done = selectText(source)
      }
      // A screen reader speaks of what changes: the same words once more must come anew.
      setTimeout(() => {
        said.textContent = done ? 'Copied.' : 'Not copied: the text is selected, copy it by hand.'
      }, 100)
    })
  }
  const opened: HTMLDetailsElement[] = []
  addEventListener('beforeprint', () => {
    for (const details of doc.querySelectorAll<HTMLDetailsElement>('details:not([open])')) {
      details.open = true
      opened.push(details)
    }
  })
  addEventListener('afterprint', () => {
    for (const details of opened.splice(0)) details.open = false
  })
}
