import * as z from 'zod'
import { cleanText, textTrouble } from './cells.ts'
import { checkSurvey, MOST_READINGS, type SurveyProblem } from './check-survey.ts'
import { type Field, NEAREST_TO_BOUND } from './field-types.ts'
import { READING_FIELDS, SURVEY_FIELDS } from './fields.ts'
import { type Catalogue, type JsonProblem, jsonProblems, shorten } from './json-problems.ts'
import { expectationOf, type ProblemCode, type ProblemContext, sentence } from './problems.ts'
import type { Calibration, Electrode, Limit, Work } from './register.ts'
import { CALIBRATION_FIELDS, ELECTRODE_FIELDS, LIMIT_FIELDS, WORK_FIELDS } from './register-fields.ts'
import type { Survey } from './survey.ts'
import { readDay, readInstant } from './times.ts'

/** JSON in, typed and checked values out. The zod schemas are made from the catalogues, so JSON and CSV cannot drift apart. */

export type { JsonProblem } from './json-problems.ts'

/** A problem raised inside a schema: its code and context travel in zod's `params`. */
const custom = (code: ProblemCode, context: ProblemContext) => ({ params: { code, context } })

function fieldSchema(field: Field): z.ZodType {
  const expected = expectationOf(field)
  const describe = (schema: z.ZodType) => schema.describe(`${field.label}: ${expected}`)
  switch (field.type) {
    case 'number': {
      let schema = field.whole ? z.number().int() : z.number()
      schema = field.above === undefined ? schema : schema.gt(field.above)
      schema = field.min === undefined ? schema : schema.min(field.min)
      const { above } = field
      return describe(
        schema.max(field.max).superRefine((n, ctx) => {
          if (above !== undefined && n > above && n <= above + NEAREST_TO_BOUND)
            ctx.addIssue({ code: 'custom', ...custom('out-of-range', { value: String(n), expected }) })
        }),
      )
    }
    case 'word':
      return describe(z.enum(field.words as readonly [string, ...string[]]))
    case 'instant':
    case 'day':
      return describe(z.string().min(1).max(64))
    default:
      return describe(
        z.string().superRefine((text, ctx) => {
          const clean = cleanText(text)
          const trouble = clean === '' ? 'missing-value' : textTrouble(clean, field)
          if (trouble)
            ctx.addIssue({ code: 'custom', ...custom(trouble, { value: shorten(text), expected }) })
        }),
      )
  }
}

/** Each field's schema is made when zod asks for it first: all of them are a tenth of what the API takes to start. */
function shapeOf(
  fields: Readonly<Record<string, Field>>,
  needed: readonly string[],
): Record<string, z.ZodType> {
  const shape: Record<string, z.ZodType> = {}
  for (const [key, field] of Object.entries(fields)) {
    const make = () => (needed.includes(key) ? fieldSchema(field) : fieldSchema(field).optional())
    let made: z.ZodType | undefined
    Object.defineProperty(shape, key, { enumerable: true, get: () => (made ??= make()) })
  }
  return shape
}

const readingSchema = z.strictObject(shapeOf(READING_FIELDS, []))

/** Body of `POST /api/surveys`: the survey CSV's fields in camelCase, readings as a list. Method, outcome, measuredAs and condition have defaults. */
export const surveySchema = z.strictObject(
  Object.defineProperty(shapeOf(SURVEY_FIELDS, ['surveyRef', 'testedAt']), 'readings', {
    enumerable: true,
    value: z.array(readingSchema).max(MOST_READINGS).optional(),
  }),
)
export const electrodeSchema = z.strictObject(shapeOf(ELECTRODE_FIELDS, ['electrodeId', 'siteId', 'kind']))
export const limitSchema = z.strictObject(shapeOf(LIMIT_FIELDS, ['electrodeId', 'purpose', 'limitOhm']))
export const calibrationSchema = z.strictObject(shapeOf(CALIBRATION_FIELDS, ['instrumentId', 'calibratedOn']))
export const workSchema = z.strictObject(shapeOf(WORK_FIELDS, ['electrodeId', 'doneOn', 'what']))

type Cleaned = Record<string, string | number>

/** Text cleaned, times into ISO 8601 with offset; keys with no value left out. Problems are added to the list. */
function clean(
  source: Record<string, unknown>,
  catalogue: Catalogue,
  timeZone: string,
  problems: JsonProblem[],
): Cleaned {
  const cleaned: Cleaned = {}
  for (const [key, field] of Object.entries(catalogue)) {
    const value = source[key]
    if (value === undefined) continue
    if (field.type === 'number') cleaned[key] = (value as number) + 0
    else if (field.type === 'instant' || field.type === 'day') {
      const time = field.type === 'day' ? readDay(String(value)) : readInstant(String(value), { timeZone })
      if (time.ok) cleaned[key] = time.iso
      else
        problems.push({
          path: [key],
          code: time.code,
          problem: sentence(time.code, {
            name: key,
            value: time.code === 'bad-time-zone' ? timeZone : shorten(value),
            expected: expectationOf(field),
          }),
        })
    } else cleaned[key] = cleanText(String(value))
  }
  return cleaned
}

const surveyPath = ({ key, reading }: SurveyProblem): (string | number)[] =>
  reading ? ['readings', reading.index, reading.key] : key ? [key] : ['readings']

/**
 * A survey from the JSON of `POST /api/surveys`. Types are strict (a number in quotes is refused), unknown keys are told, defaults
 * are filled in, a time without offset is read in `timeZone` (default UTC). All problems are told at once.
 */
export function parseSurvey(
  json: unknown,
  { timeZone = 'UTC' }: { timeZone?: string | undefined } = {},
): { ok: true; survey: Survey } | { ok: false; problems: JsonProblem[] } {
  const parsed = surveySchema.safeParse(json)
  if (!parsed.success)
    return {
      ok: false,
      problems: parsed.error.issues.flatMap((issue) => jsonProblems(issue, json, SURVEY_FIELDS)),
    }
  const problems: JsonProblem[] = []
  const given = parsed.data as Record<string, unknown>
  const readings = ((given.readings ?? []) as Record<string, unknown>[]).map((reading) => {
    const cleaned = clean(reading, READING_FIELDS, timeZone, problems)
    const overRange = cleaned.resistanceOhm === undefined && cleaned.atLeastOhm !== undefined
    return { ...cleaned, condition: cleaned.condition ?? (overRange ? 'over-range' : 'ok') }
  })
  const survey = {
    method: 'fall-of-potential',
    outcome: 'tested',
    measuredAs: 'not-known',
    ...clean(given, SURVEY_FIELDS, timeZone, problems),
    readings,
  } as unknown as Survey
  for (const problem of problems.length > 0 ? [] : checkSurvey(survey)) {
    const path = surveyPath(problem)
    const context = { name: String(path.at(-1)), ...problem.context }
    problems.push({ path, code: problem.code, problem: sentence(problem.code, context) })
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, survey }
}

type Parsed<T> = { ok: true; item: T } | { ok: false; problems: JsonProblem[] }

function parseItem<T>(json: unknown, schema: z.ZodType, catalogue: Catalogue): Parsed<T> {
  const parsed = schema.safeParse(json)
  if (!parsed.success)
    return {
      ok: false,
      problems: parsed.error.issues.flatMap((issue) => jsonProblems(issue, json, catalogue)),
    }
  const problems: JsonProblem[] = []
  const item = clean(parsed.data as Record<string, unknown>, catalogue, 'UTC', problems)
  return problems.length > 0 ? { ok: false, problems } : { ok: true, item: item as unknown as T }
}

/** A register entry from JSON (`PUT /api/electrodes/{id}`): the register's columns in camelCase. */
export const parseElectrode = (json: unknown) => parseItem<Electrode>(json, electrodeSchema, ELECTRODE_FIELDS)
/** One limit from JSON (`PUT /api/limits/{electrodeId}` takes one or a list; the caller walks the list). */
export const parseLimit = (json: unknown) => parseItem<Limit>(json, limitSchema, LIMIT_FIELDS)
/** One calibration from JSON (`PUT /api/instruments/{id}`). */
export const parseCalibration = (json: unknown) =>
  parseItem<Calibration>(json, calibrationSchema, CALIBRATION_FIELDS)
/** One recorded work from JSON (`POST /api/works`). */
export const parseWork = (json: unknown) => parseItem<Work>(json, workSchema, WORK_FIELDS)
