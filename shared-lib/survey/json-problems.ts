import type * as z from 'zod'
import { MOST_READINGS } from './check-survey.ts'
import type { Field } from './field-types.ts'
import { READING_FIELDS } from './fields.ts'
import { expectationOf, type ProblemCode, type ProblemContext, sentence } from './problems.ts'

export interface JsonProblem {
  /** Where in the JSON, as `['readings', 2, 'resistanceOhm']`; empty for the whole. */
  path: (string | number)[]
  code: ProblemCode
  problem: string
}

/** The value as it was sent, short enough for a sentence. JSON may hold an object whose `toString` is no function: never `String`. */
export const shorten = (value: unknown) =>
  (typeof value === 'object' && value !== null ? JSON.stringify(value) : String(value)).slice(0, 100)

export type Catalogue = Readonly<Record<string, Field>>

const own = (catalogue: Catalogue, key: unknown): Field | undefined =>
  typeof key === 'string' && Object.hasOwn(catalogue, key) ? catalogue[key] : undefined

function fieldAt(path: readonly PropertyKey[], catalogue: Catalogue): Field | undefined {
  return path[0] === 'readings' ? own(READING_FIELDS, path[2]) : own(catalogue, path[0])
}

const valueAt = (json: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>((at, key) => (at as Record<PropertyKey, unknown> | undefined)?.[key], json)

const CODES: Partial<Record<string, ProblemCode>> = {
  invalid_value: 'unknown-word',
  too_small: 'out-of-range',
  too_big: 'out-of-range',
  not_multiple_of: 'out-of-range',
  custom: 'out-of-range',
}

/** zod's account of what is wrong, as problems with a path, a code and a sentence. */
export function jsonProblems(issue: z.core.$ZodIssue, json: unknown, catalogue: Catalogue): JsonProblem[] {
  const path = issue.path.map((part) => (typeof part === 'symbol' ? String(part) : part))
  if (issue.code === 'unrecognized_keys')
    return issue.keys.map((key) => ({
      path: [...path, key],
      code: 'unknown-field' as const,
      problem: sentence('unknown-field', { name: key }),
    }))
  const given = valueAt(json, issue.path)
  const field = fieldAt(issue.path, catalogue)
  const context: ProblemContext = { value: shorten(given) }
  if (path.length > 0) context.name = String(path.at(-1))
  if (field) context.expected = expectationOf(field)
  else context.expected = path.at(-1) === 'readings' ? 'a list of readings' : 'a JSON object'
  if (field) context.detail = 'optional'
  if (path.length === 2) context.name = `Reading ${Number(path[1]) + 1}`
  let code: ProblemCode = CODES[issue.code] ?? (given === undefined ? 'missing-value' : 'wrong-type')
  if (path[0] === 'readings' && path.length === 1 && issue.code === 'too_big') {
    code = 'too-many-readings'
    context.detail = String(MOST_READINGS)
  } else if (field?.type === 'instant' || field?.type === 'day') {
    if (issue.code === 'too_small' || issue.code === 'too_big') code = 'bad-date'
  }
  if (issue.code === 'invalid_value' && typeof given !== 'string')
    code = given === undefined ? 'missing-value' : 'wrong-type'
  if (issue.code === 'custom' && issue.params?.code !== undefined) {
    code = issue.params.code as ProblemCode
    Object.assign(context, issue.params.context)
  }
  return [{ path, code, problem: sentence(code, context) }]
}
