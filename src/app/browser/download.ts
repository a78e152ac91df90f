/** Hands a file to the browser as an ordinary download. */
export function download(name: string, content: Blob): void {
  const address = URL.createObjectURL(content)
  const link = document.createElement('a')
  link.href = address
  link.download = name
  document.body.append(link)
  link.click()
  link.remove()
  // The browser has taken it by then.
  setTimeout(() => URL.revokeObjectURL(address), 60_000)
}
