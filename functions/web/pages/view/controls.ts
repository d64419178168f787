import { type FormProblem, problemAt } from './error-summary.ts'
import { attribute, flag, type Html, html, nothing } from './html.ts'

/** What every control of a form shares. `id` is also the form name unless `name` is given. */
export interface ControlParts {
  id: string
  name?: string
  /** The unit stands in the label. */
  label: string
  hint?: string
  problems?: readonly FormProblem[]
}

/** Ids of the hint and of the problem that exist, for `aria-describedby`. */
function describedBy(parts: ControlParts, problem: string | undefined): string | undefined {
  const ids = [
    parts.hint === undefined ? [] : `${parts.id}-hint`,
    problem === undefined ? [] : `${parts.id}-problem`,
  ].flat()
  return ids.length === 0 ? undefined : ids.join(' ')
}

function around(parts: ControlParts, control: (described: string | undefined, wrong: boolean) => Html): Html {
  const problem = problemAt(parts.problems ?? [], parts.id)
  return html`<div class="control${problem === undefined ? '' : ' wrong'}">
<label for="${parts.id}">${parts.label}</label>
${parts.hint === undefined ? nothing : html`<p class="hint" id="${parts.id}-hint">${parts.hint}</p>`}
${problem === undefined ? nothing : html`<p class="problem" id="${parts.id}-problem">${problem}</p>`}
${control(describedBy(parts, problem), problem !== undefined)}
</div>`
}

export interface TextParts extends ControlParts {
  value?: string | undefined
  /** `decimal` brings up the number keys with a separator; the control stays a text control. */
  kind?: 'text' | 'decimal' | 'datetime-local' | 'search' | 'email'
  width?: 'short' | 'medium' | 'long'
  autocomplete?: string
}

export function textControl(parts: TextParts): Html {
  const kind = parts.kind ?? 'text'
  const type = kind === 'decimal' ? 'text' : kind
  return around(
    parts,
    (described, wrong) =>
      html`<input class="${parts.width ?? 'medium'}" id="${parts.id}" name="${parts.name ?? parts.id}" type="${type}"${attribute('inputmode', kind === 'decimal' ? 'decimal' : undefined)}${attribute('autocomplete', parts.autocomplete ?? 'off')} value="${parts.value ?? ''}"${attribute('aria-describedby', described)}${attribute('aria-invalid', wrong ? 'true' : undefined)}>`,
  )
}

export function areaControl(parts: ControlParts & { value?: string | undefined; rows?: number }): Html {
  return around(
    parts,
    (described, wrong) =>
      html`<textarea id="${parts.id}" name="${parts.name ?? parts.id}" rows="${parts.rows ?? 3}"${attribute('aria-describedby', described)}${attribute('aria-invalid', wrong ? 'true' : undefined)}>${parts.value ?? ''}</textarea>`,
  )
}

export interface Choice {
  value: string
  label: string
}

export function selectControl(
  parts: ControlParts & { value?: string | undefined; choices: readonly Choice[]; none?: string },
): Html {
  return around(
    parts,
    (described, wrong) =>
      html`<select id="${parts.id}" name="${parts.name ?? parts.id}"${attribute('aria-describedby', described)}${attribute('aria-invalid', wrong ? 'true' : undefined)}>${
        parts.none === undefined ? nothing : html`<option value="">${parts.none}</option>`
      }${parts.choices.map((c) => html`<option value="${c.value}"${flag('selected', c.value === (parts.value ?? ''))}>${c.label}</option>`)}</select>`,
  )
}

/** Radio buttons under a legend; the first one carries the group's id, so that a summary link lands on it. */
export function radioControl(
  parts: ControlParts & { value?: string | undefined; choices: readonly Choice[] },
): Html {
  const problem = problemAt(parts.problems ?? [], parts.id)
  return html`<fieldset class="control${problem === undefined ? '' : ' wrong'}"${attribute('aria-describedby', describedBy(parts, problem))}>
<legend>${parts.label}</legend>
${parts.hint === undefined ? nothing : html`<p class="hint" id="${parts.id}-hint">${parts.hint}</p>`}
${problem === undefined ? nothing : html`<p class="problem" id="${parts.id}-problem">${problem}</p>`}
<div class="radios">${parts.choices.map(
    (c, i) =>
      html`<div class="tick"><input type="radio" id="${i === 0 ? parts.id : `${parts.id}-${i}`}" name="${parts.name ?? parts.id}" value="${c.value}"${flag('checked', c.value === (parts.value ?? ''))}><label for="${i === 0 ? parts.id : `${parts.id}-${i}`}">${c.label}</label></div>`,
  )}</div></fieldset>`
}

export function tickControl(parts: ControlParts & { checked: boolean }): Html {
  const problem = problemAt(parts.problems ?? [], parts.id)
  return html`<div class="control${problem === undefined ? '' : ' wrong'}">
${problem === undefined ? nothing : html`<p class="problem" id="${parts.id}-problem">${problem}</p>`}
${parts.hint === undefined ? nothing : html`<p class="hint" id="${parts.id}-hint">${parts.hint}</p>`}
<div class="tick"><input type="checkbox" id="${parts.id}" name="${parts.name ?? parts.id}" value="yes"${flag('checked', parts.checked)}${attribute('aria-describedby', describedBy(parts, problem))}><label for="${parts.id}">${parts.label}</label></div></div>`
}
