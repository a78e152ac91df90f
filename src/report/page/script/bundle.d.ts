/** The text of a script for the page, put together from a file and what it imports (`build/page-script.mjs`). */
declare module '*?bundle' {
  const text: string
  export default text
}

/** The bytes of a file in base64 (`build/page-script.mjs`). */
declare module '*?base64' {
  const text: string
  export default text
}
