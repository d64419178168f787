import { readCell } from '../../../../shared-lib/survey/cells.ts'
import type { Field } from '../../../../shared-lib/survey/field-types.ts'
import { expectationOf, type ProblemCode, sentence } from '../../../../shared-lib/survey/problems.ts'
import { say } from '../surveys/form-reading.ts'
import { areaControl, selectControl, textControl } from '../view/controls.ts'
import { errorSummary, type FormProblem } from '../view/error-summary.ts'
import { labelWithUnit, wordOf } from '../view/field-words.ts'
import { type Html, html, nothing } from '../view/html.ts'

/** One entry of the register (electrode, limit, calibration, work) as a form, made from the fields of its catalogue. */

export type Fields = Readonly<Record<string, Field>>
export type Typed = Record<string, string>

export interface EntryFormParts {
  fields: Fields
  /** Keys that must be given; they are marked in words. */
  needed: readonly string[]
  /** Keys that are fixed: shown, sent along, not to be changed. */
  fixed?: readonly string[]
  typed: Typed
  problems: readonly FormProblem[]
  action: string
  button: string
  /** Hidden parts of the form beside the fields. */
  hidden?: Record<string, string>
  /** Further controls before the button. */
  more?: Html
}

export function entryForm(parts: EntryFormParts): Html {
  const groups = Map.groupBy(Object.entries(parts.fields), ([, field]) => field.group)
  return html`${errorSummary(parts.problems)}
<form class="entry" method="post" action="${parts.action}">
${Object.entries(parts.hidden ?? {}).map(([name, value]) => html`<input type="hidden" name="${name}" value="${value}">`)}
${[...groups].map(
  ([group, fields]) =>
    html`<fieldset class="plain"><legend>${group.charAt(0).toUpperCase() + group.slice(1)}</legend><div class="pair">${fields.map(([key, field]) => control(key, field, parts))}</div></fieldset>`,
)}
${parts.more ?? nothing}
<p class="actions"><button type="submit" class="main">${parts.button}</button></p></form>`
}

function control(key: string, field: Field, { typed, problems, needed, fixed = [] }: EntryFormParts): Html {
  const value = typed[key] ?? ''
  if (fixed.includes(key))
    return html`<p class="fixed"><span class="aside">${field.label}</span><br><strong>${value}</strong><input type="hidden" name="${key}" value="${value}"></p>`
  const label = labelWithUnit(field) + (needed.includes(key) ? '' : ', if known')
  const common = { id: key, label, value, problems }
  if (field.type === 'word')
    return selectControl({
      ...common,
      none: 'Not given',
      choices: field.words.map((w) => ({ value: w, label: wordOf(field, w) })),
    })
  if (field.type === 'text' && field.maxLength > 300) return areaControl({ ...common, rows: 2 })
  const kind = field.type === 'number' ? 'decimal' : field.type === 'email' ? 'email' : 'text'
  const hint = field.type === 'day' ? { hint: 'Such as 2026-05-04.' } : {}
  return textControl({ ...common, kind, ...hint })
}

/** What is stored, as it would be typed. */
export function typedOf(entry: object): Typed {
  return Object.fromEntries(Object.entries(entry).map(([key, value]) => [key, String(value)]))
}

/** There is no file here whose date pattern could be declared. */
const wrongWords = (field: Field, code: ProblemCode, typed: string): string =>
  code === 'bad-date'
    ? `${field.label} says “${typed}”, which is not a date that can be read without guessing. Write ${expectationOf(field)}.`
    : say(field, field.label, code, typed)

const missingWords = (field: Field): string =>
  field.type === 'word'
    ? `${field.label}: nothing is chosen. Choose ${expectationOf(field)}.`
    : field.type === 'id' || field.type === 'text'
      ? `${field.label} is empty. Fill it in.`
      : sentence('missing-value', { name: field.label, expected: expectationOf(field) })

/** What was typed, read field by field: the entry, or one problem a control. Needed fields that are empty are told. */
export function readEntry(
  data: FormData,
  fields: Fields,
  needed: readonly string[],
): { typed: Typed; entry: Record<string, string | number>; problems: FormProblem[] } {
  const typed: Typed = {}
  const entry: Record<string, string | number> = {}
  const problems: FormProblem[] = []
  for (const [key, field] of Object.entries(fields)) {
    const text = String(data.get(key) ?? '').trim()
    typed[key] = text
    if (text === '') {
      if (needed.includes(key))
        problems.push({
          fieldId: key,
          message: missingWords(field),
        })
      continue
    }
    const cell = readCell(text, field, {})
    if (cell.kind === 'value') entry[key] = cell.value
    else
      problems.push({
        fieldId: key,
        message: wrongWords(field, cell.kind === 'refused' ? cell.code : 'over-range-here', text),
      })
  }
  return { typed, entry, problems }
}
