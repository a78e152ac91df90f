import { createHash } from 'node:crypto'
import type { Report } from './contract.ts'
import { answerSection, headSection } from './html-answer.ts'
import { pairsSection } from './html-pairs.ts'
import {
  assumptionsSection,
  cautionsSection,
  inputsSection,
  problemsSection,
  routesSection,
  signatures,
} from './html-record.ts'
import { limitsSection, runsSection } from './html-runs.ts'
import { STYLE } from './html-style.ts'
import { escaped, html } from './markup.ts'

/** SHA-256 of the style sheet, base64: nothing else may style, run or be fetched in the page. */
const STYLE_HASH = createHash('sha256').update(STYLE).digest('base64')

/**
 * The text of index.html: one page that needs no network and no script, the answer first, then everything it rests on.
 * All texts of the report are escaped.
 */
export function htmlPage(report: Report): string {
  const sections = [
    headSection(report),
    answerSection(report),
    pairsSection(report),
    runsSection(report),
    limitsSection(report),
    routesSection(report),
    problemsSection(report),
    assumptionsSection(report),
    inputsSection(report),
    cautionsSection(report),
  ]
  const title = escaped(report.title ?? 'Drives of the same road')
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'sha256-${STYLE_HASH}'; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>${title} – comparability report</title>
<style>${STYLE}</style>
</head>
<body>
<main>
${html`${sections}${signatures()}`.markup}</main>
<footer><p>Made by ceteris ${escaped(report.version)} from the files listed under Inputs. The same figures as data: report.json, runs.csv, pairs.csv.</p></footer>
</body>
</html>
`
}
