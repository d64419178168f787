import { csvLine } from './csv-line.ts'
import type { Calibration, Electrode, Limit, Work } from './register.ts'
import {
  CALIBRATION_FIELDS,
  ELECTRODE_FIELDS,
  type FieldsOf,
  LIMIT_FIELDS,
  WORK_FIELDS,
} from './register-fields.ts'

/** The register's tables out again, with the columns they are loaded by. */
interface TableWriter<T> {
  /** The heading row, with its line end. */
  header(): string
  /** One entry as a row; what is written reads back to an equal entry. */
  row(entry: T): string
}

function writerOf<T extends object>(fields: FieldsOf<T>): TableWriter<T> {
  const keys = Object.keys(fields) as (keyof T)[]
  const columns = Object.values<{ column: string }>(fields).map(({ column }) => column)
  return {
    header: () => csvLine(columns),
    row: (entry) => csvLine(keys.map((key) => entry[key] as string | number | undefined)),
  }
}

export const electrodesCsv: TableWriter<Electrode> = writerOf<Electrode>(ELECTRODE_FIELDS)
export const limitsCsv: TableWriter<Limit> = writerOf<Limit>(LIMIT_FIELDS)
export const calibrationsCsv: TableWriter<Calibration> = writerOf<Calibration>(CALIBRATION_FIELDS)
export const worksCsv: TableWriter<Work> = writerOf<Work>(WORK_FIELDS)
