import { tableText } from './script-table-text.ts'

/** The buttons that copy a statement or a table. */
export function copyButtons(): void {
  for (const button of document.querySelectorAll<HTMLElement>('button[data-copy]')) {
    const source = document.getElementById(button.dataset.copy ?? '')
    if (source) copies(button, source, () => source.textContent ?? '')
  }
  for (const button of document.querySelectorAll<HTMLElement>('button[data-copy-table]')) {
    const table = tableBeside(button)
    if (table) copies(button, table, () => tableText(table))
  }
}

/** The table above the button, or else below it. */
function tableBeside(button: HTMLElement): HTMLTableElement | null {
  const { previousElementSibling: above = null, nextElementSibling: below = null } = button.parentElement ?? {}
  for (const place of [above, below]) {
    const table = place instanceof HTMLTableElement ? place : place?.querySelector(':scope > table')
    if (table instanceof HTMLTableElement) return table
  }
  return null
}

function copies(button: HTMLElement, source: Element, textOf: () => string): void {
  const said = button.parentElement?.querySelector('.copied')
  if (!said) return
  button.addEventListener('click', async () => {
    said.textContent = ''
    const done = await copied(source, textOf())
    // A screen reader speaks of what changes: the same words once more must come anew.
    setTimeout(() => {
      said.textContent = done ? 'Copied.' : 'Not copied: the text is selected, copy it by hand.'
    }, 100)
  })
}

async function copied(source: Element, text: string): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text)
    return true
  } catch {
    // A page from disk may be refused the clipboard; what is selected can be copied the old way, or by hand.
    const range = document.createRange()
    range.selectNodeContents(source)
    const selection = getSelection()
    selection?.removeAllRanges()
    selection?.addRange(range)
    const asText = (event: ClipboardEvent): void => {
      event.clipboardData?.setData('text/plain', text)
      event.preventDefault()
    }
    document.addEventListener('copy', asText)
    const done = document.execCommand('copy')
    document.removeEventListener('copy', asText)
    return done
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
