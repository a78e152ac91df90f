/** What a reader has chosen: it stands in the page's address, so that it lasts and can be passed on. */
const choices = new URLSearchParams(document.documentElement.dataset.choices ?? location.search)

/** All choices as they stand in the address. */
export const allChosen = (): string => choices.toString()

export const chosen = (name: string): string => choices.get(name) ?? ''

/** Puts a choice into the address; an empty one is taken out. */
export function choose(name: string, value: string): void {
  if (value === '') choices.delete(name)
  else choices.set(name, value)
  const query = allChosen()
  document.dispatchEvent(new Event('chosen'))
  try {
    history.replaceState(null, '', `${location.pathname}${query === '' ? '' : `?${query}`}${location.hash}`)
  } catch {
    // A page in a frame without an origin has no address of its own: the choice then lasts as long as the page.
  }
}
