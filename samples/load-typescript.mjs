import { readFile } from 'node:fs/promises'
import ts from 'typescript'

/** Module hook: strips the types from .ts files, so that the generator runs on a Node that cannot. */
export async function load(url, context, nextLoad) {
  if (!url.endsWith('.ts')) return nextLoad(url, context)
  const text = await readFile(new URL(url), 'utf8')
  const compilerOptions = { target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.ESNext, verbatimModuleSyntax: true }
  return { format: 'module', shortCircuit: true, source: ts.transpileModule(text, { compilerOptions }).outputText }
}
