import type { CellReading } from '../../../../shared-lib/survey/cells.ts'
import type { Field } from '../../../../shared-lib/survey/field-types.ts'
import { expectationOf, type ProblemCode, sentence } from '../../../../shared-lib/survey/problems.ts'
import type { FormProblem } from '../view/error-summary.ts'
import type { FormState } from './form-state.ts'
import { testKind } from './test-kinds.ts'

/** A form while it is being read: what was typed, and what is to be mended so far. */
export interface FormReading {
  state: FormState
  timeZone: string
  problems: FormProblem[]
}

/** Is this field a length that the form takes in feet? */
export function inFeet(state: FormState, field: Field): boolean {
  return state.unit === 'ft' && field.type === 'number' && field.unit === 'm'
}

/** The sentence for something that cannot be read, in the words of the label. */
export function say(field: Field, label: string, code: ProblemCode, value: string): string {
  if (code === 'ambiguous-number')
    return `${label} says “${value}”: that can be a fraction or a thousand. Write it without a group of three, such as 1.2 or 1200.`
  return sentence(code, { name: label, value, expected: expectationOf(field) })
}

/** How a control of this field is to be read. */
export function cellReading(field: Field, { state, timeZone }: FormReading): CellReading {
  return { timeZone, ...(inFeet(state, field) ? { unit: 'ft' } : {}) }
}

/** What a control of a row is called, on the page and in a problem alike. */
export function rowLabel(state: FormState, i: number, field: Field): string {
  const percent = testKind(state.test).positions?.[i]
  const where = percent === undefined ? `reading ${i + 1}` : `reading at ${percent} %`
  return `${field.label}, ${where}`
}
