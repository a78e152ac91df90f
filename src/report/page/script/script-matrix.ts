/** Makes each matrix of pairs one tab stop, walked by arrow keys; the cell in focus or under the pointer is told in words. */
export function matrices(): void {
  const reading = document.querySelector('.matrix-reading')
  for (const table of document.querySelectorAll<HTMLTableElement>('table.grid')) {
    const rows = [...table.rows]
    const cells = [...table.querySelectorAll<HTMLElement>('[data-cell]')]
    if (cells.length === 0) continue
    table.setAttribute('role', 'grid')
    for (const cell of cells) targetOf(cell).tabIndex = -1
    targetOf(cells[0]).tabIndex = 0
    let current = cells[0]
    const tell = (cell: Element): void => {
      if (reading) reading.textContent = cell.querySelector('.hidden')?.textContent ?? ''
    }
    table.addEventListener('focusin', ({ target }) => {
      const cell = cellAt(target)
      if (!cell) return
      targetOf(current).tabIndex = -1
      targetOf(cell).tabIndex = 0
      current = cell
      tell(cell)
    })
    table.addEventListener('pointerover', ({ target }) => {
      const cell = cellAt(target)
      if (cell) tell(cell)
    })
    table.addEventListener('keydown', (event) => {
      const cell = cellAt(event.target)
      const next = cell && nextCell(rows, cell as HTMLTableCellElement, event.key)
      if (!next) return
      event.preventDefault()
      targetOf(next).focus()
    })
  }
}

const cellAt = (target: EventTarget | null): HTMLElement | null =>
  target instanceof Element ? target.closest<HTMLElement>('[data-cell]') : null

const targetOf = (cell: HTMLElement): HTMLElement => cell.querySelector('a') ?? cell

/** Rows and columns that an arrow key goes. */
const WAYS: Record<string, [down: number, right: number]> = {
  ArrowUp: [-1, 0],
  ArrowDown: [1, 0],
  ArrowLeft: [0, -1],
  ArrowRight: [0, 1],
}

/** The nearest cell with a pair in the way of an arrow key; for Home and End the first and last of the row. */
function nextCell(rows: readonly HTMLTableRowElement[], cell: HTMLTableCellElement, key: string): HTMLElement | null {
  const row = cell.parentElement as HTMLTableRowElement
  const withPairs = [...row.querySelectorAll<HTMLElement>('[data-cell]')]
  if (key === 'Home') return withPairs[0]
  if (key === 'End') return withPairs[withPairs.length - 1]
  const way = WAYS[key]
  if (!way) return null
  let [r, c] = [rows.indexOf(row), cell.cellIndex]
  do {
    r += way[0]
    c += way[1]
    const found = rows[r]?.cells[c]
    if (found?.dataset.cell !== undefined) return found
  } while (r >= 0 && r < rows.length && c >= 0 && c <= rows.length)
  return null
}
