import * as z from 'zod/mini'
import en from 'zod/v4/locales/en.js'
import { isDatePattern, PATTERN_HELP } from './date-pattern.ts'

/**
 * An operator's saved column map: its own headings, each with the field it means and how its cells are written, so that its own
 * exports can be handed in unchanged.
 */

// The small edition, because this is in bundles that start often; it has no words for what is wrong unless told which.
z.config(en())

const decimalSign = z.enum(['.', ','])
const datePattern = z
  .string()
  .check(z.refine(isDatePattern, { error: `is not a date pattern; use ${PATTERN_HELP}` }))

const mappedColumn = z.strictObject({
  /** A column's name as in the survey CSV (`resistance_ohm`, `r62_ohm`), or the JSON name (`resistanceOhm`). */
  field: z.string().check(z.minLength(1), z.maxLength(100)),
  /** Unit of the cells where it is not the field's own: `ft`, `mohm`, `kohm`, `f`, `mm`, … */
  unit: z.optional(z.string().check(z.minLength(1), z.maxLength(20))),
  datePattern: z.optional(datePattern),
  decimalSign: z.optional(decimalSign),
})

const columnMapSchema = z.strictObject({
  name: z.optional(z.string().check(z.maxLength(100))),
  decimalSign: z.optional(decimalSign),
  datePattern: z.optional(datePattern),
  /** One entry a heading; headings are matched without regard to case, spaces, `-` or `_`. */
  columns: z
    .array(
      z.strictObject({ heading: z.string().check(z.minLength(1), z.maxLength(200)), ...mappedColumn.shape }),
    )
    .check(z.maxLength(500)),
})

export type ColumnMap = z.infer<typeof columnMapSchema>
export type MappedColumn = z.infer<typeof mappedColumn>

const asList = (columns: unknown): unknown => {
  if (typeof columns !== 'object' || columns === null || Array.isArray(columns)) return columns
  return Object.entries(columns).map(([heading, column]) =>
    typeof column === 'string' ? { heading, field: column } : { heading, ...column },
  )
}

/**
 * A column map from JSON. `columns` may be an object `{ "own heading": "field" | { field, unit, … } }` or a list with `heading`.
 * The reason says what is wrong and where.
 */
export function parseColumnMap(json: unknown): { ok: true; map: ColumnMap } | { ok: false; reason: string } {
  const listed =
    typeof json === 'object' && json !== null && 'columns' in json
      ? { ...json, columns: asList(json.columns) }
      : json
  const parsed = columnMapSchema.safeParse(listed)
  if (parsed.success) return { ok: true, map: parsed.data }
  const reason = parsed.error.issues
    .map((issue) => `${issue.path.join('.') || 'it'}: ${issue.message}`)
    .join('; ')
  return { ok: false, reason }
}
