import { plainHeading, SURVEY_CATALOGUE } from '../../../../shared-lib/survey/catalogue.ts'
import type { ColumnMap } from '../../../../shared-lib/survey/column-map.ts'
import type { NumberField } from '../../../../shared-lib/survey/field-types.ts'
import { READING_FIELDS, SURVEY_FIELDS } from '../../../../shared-lib/survey/fields.ts'
import { UNIT_VARIANTS } from '../../../../shared-lib/survey/units.ts'
import type { Choice } from '../view/controls.ts'
import { labelWithUnit } from '../view/field-words.ts'
import type { FileHead } from './file-head.ts'

/** What a column of somebody's own export can be pointed at: every column of the survey CSV in each of its units. */

const WIDE_PERCENT = [10, 20, 30, 40, 50, 52, 60, 62, 70, 72, 80, 90]

function variantsOf(field: NumberField): Choice[] {
  const variants = UNIT_VARIANTS[field.unit]
  if (!variants || !field.column.endsWith(`_${variants.own}`)) return []
  const stem = field.column.slice(0, -variants.own.length)
  return variants.others.map(({ suffix, unit }) => ({
    value: stem + suffix,
    label: labelWithUnit(field, unit),
  }))
}

export const COLUMN_CHOICES: readonly Choice[] = [
  ...Object.values({ ...SURVEY_FIELDS, ...READING_FIELDS }).flatMap((field) => [
    { value: field.column, label: labelWithUnit(field) },
    ...(field.type === 'number' ? variantsOf(field) : []),
  ]),
  ...WIDE_PERCENT.map((percent) => ({ value: `r${percent}_ohm`, label: `Resistance at ${percent} % (ohm)` })),
]

/** The column a heading is read as: by the map, by its own name, or `''` for one that is passed over. */
export function meaningOf(heading: string, map: ColumnMap | undefined): string {
  const mapped = map?.columns.find((c) => plainHeading(c.heading) === plainHeading(heading))
  const name = mapped?.field ?? heading
  const known = SURVEY_CATALOGUE.find(name)
  if (!known) return ''
  const listed = COLUMN_CHOICES.find((choice) => plainHeading(choice.value) === plainHeading(name))
  return listed?.value ?? known.field.column
}

/**
 * The column map that pointing made: an entry for each heading that was pointed at something else than its own name says. Headings
 * already understood by themselves need none. Other parts of an earlier map (units, patterns) stay with the columns that keep their meaning.
 */
export function pointedMap(
  head: Pick<FileHead, 'headings'>,
  pointed: (index: number) => string,
  before: ColumnMap | undefined,
): ColumnMap | undefined {
  const columns = head.headings.flatMap((text, index) => {
    const heading = text.trim()
    const field = pointed(index)
    if (heading === '' || field === '' || field === meaningOf(heading, undefined)) return []
    const earlier = before?.columns.find((c) => plainHeading(c.heading) === plainHeading(heading))
    return [earlier && meaningOf(heading, before) === field ? earlier : { heading, field }]
  })
  const { columns: _, name: __, ...whole } = before ?? { columns: [] }
  return columns.length === 0 && Object.keys(whole).length === 0 ? undefined : { ...whole, columns }
}
