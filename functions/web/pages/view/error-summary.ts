import { type Html, html, nothing } from './html.ts'

/** One thing to mend in a form: the id of the control it belongs to, and what to do. */
export interface FormProblem {
  fieldId: string
  message: string
}

/** Stands first in `main`, above the heading; each line leads to its control. Nothing when all is well. */
export function errorSummary(problems: readonly FormProblem[]): Html {
  if (problems.length === 0) return nothing
  const heading = problems.length === 1 ? 'One thing to mend' : `${problems.length} things to mend`
  return html`<section class="mend" tabindex="-1" aria-labelledby="mend-heading"><div role="alert">
<h2 id="mend-heading">${heading}</h2>
<ul>${problems.map((p) => html`<li><a href="#${p.fieldId}">${p.message}</a></li>`)}</ul>
</div></section>`
}

/** The problem of one control, if it has one. */
export function problemAt(problems: readonly FormProblem[], fieldId: string): string | undefined {
  return problems.find((p) => p.fieldId === fieldId)?.message
}
