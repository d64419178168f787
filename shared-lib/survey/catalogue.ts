import type { Field } from './field-types.ts'
import { READING_FIELDS, SURVEY_FIELDS } from './fields.ts'
import { CALIBRATION_FIELDS, ELECTRODE_FIELDS, LIMIT_FIELDS, WORK_FIELDS } from './register-fields.ts'
import { UNIT_VARIANTS } from './units.ts'

/** The columns of one kind of file, ready to be looked up by heading. */

/** `item`: a column of the survey (or register entry); `reading`: of one reading; `wide`: a reading's resistance in `r<NN>_ohm`. */
type Level = 'item' | 'reading' | 'wide'

export interface KnownColumn {
  key: string
  level: Level
  field: Field
  /** Where the heading names another unit than the stored one. */
  unit?: string
  /** Wide columns: position of the potential probe in % of the current probe's distance. */
  percent?: number
}

/** Headings are matched without regard to case, spaces, `-` or `_`. */
export const plainHeading = (heading: string): string =>
  heading
    .normalize('NFC')
    .toLowerCase()
    .replace(/[\s_-]+/g, '')

type Fields = Readonly<Record<string, Field>>

function addAll(known: Map<string, KnownColumn>, fields: Fields, level: Level): void {
  for (const [key, field] of Object.entries(fields)) {
    known.set(plainHeading(field.column), { key, level, field })
    const variants = field.type === 'number' ? UNIT_VARIANTS[field.unit] : undefined
    if (!variants || !field.column.endsWith(`_${variants.own}`)) continue
    const stem = field.column.slice(0, -variants.own.length)
    for (const { suffix, unit } of variants.others)
      known.set(plainHeading(stem + suffix), { key, level, field, unit })
  }
}

const WIDE = /^r(\d{1,3}(?:[.,]\d{1,3})?)(m|k)?ohm$/

export interface Catalogue {
  /** The column a heading means, or null. JSON names (`resistanceOhm`) are the same headings. */
  find(heading: string): KnownColumn | null
  /** Whether the heading gives one of these columns in megohm. */
  isMegohm(heading: string): boolean
}

function catalogueOf(item: Fields, reading?: Fields): Catalogue {
  const known = new Map<string, KnownColumn>()
  if (reading) addAll(known, reading, 'reading')
  addAll(known, item, 'item')

  function find(heading: string): KnownColumn | null {
    const plain = plainHeading(heading)
    const exact = known.get(plain)
    if (exact || !reading) return exact ?? null
    const wide = WIDE.exec(plain)
    if (!wide) return null
    const column: KnownColumn = {
      key: 'resistanceOhm',
      level: 'wide',
      field: READING_FIELDS.resistanceOhm,
      percent: Number(wide[1]!.replace(',', '.')),
    }
    if (wide[2]) column.unit = `${wide[2]}ohm`
    return column
  }

  return {
    find,
    isMegohm(heading) {
      const squeezed = heading.replace(/[\s_-]+/g, '')
      const spelled = /^(.*)mega?ohms?$/i.exec(squeezed)
      // A capital M before ohm means mega, except where the whole heading is in capitals and tells nothing.
      const capital = squeezed === squeezed.toUpperCase() ? null : /^(.*)M[oO]hms?$/.exec(squeezed)
      const stem = (spelled ?? capital)?.[1]
      return stem !== undefined && find(`${stem}ohm`) !== null
    },
  }
}

export const SURVEY_CATALOGUE = catalogueOf(SURVEY_FIELDS, READING_FIELDS)
export const ELECTRODE_CATALOGUE = catalogueOf(ELECTRODE_FIELDS)
export const LIMIT_CATALOGUE = catalogueOf(LIMIT_FIELDS)
export const CALIBRATION_CATALOGUE = catalogueOf(CALIBRATION_FIELDS)
export const WORK_CATALOGUE = catalogueOf(WORK_FIELDS)

/** Columns this program adds to a returned file of refused rows; they are passed over when the file comes back. */
const REMARK_COLUMNS = ['remark_code', 'remark_column', 'remark_problem'] as const
const remarks = new Set<string>(REMARK_COLUMNS.map(plainHeading))
export const isRemarkColumn = (heading: string): boolean => remarks.has(plainHeading(heading))
