import { type FileProblemCode, fileSentence } from './file-problems.ts'
import { type ProblemCode, type ProblemContext, sentence } from './problems.ts'

/** One thing refused, as the contract's record: a cell, a row, a survey or (row null) a whole file. */
export interface Refused {
  kind: 'refused'
  /** As a spreadsheet counts; null for a whole file. */
  row: number | null
  /** The heading as it stands in the file, or the field's own name where the file has no such column. */
  column: string | null
  value: string | null
  code: ProblemCode | FileProblemCode
  /** One or two sentences: what is wrong, what to do. */
  problem: string
  /** The survey that is refused with it, where it could be told. Several records may refuse one survey. */
  surveyRef?: string
}

const MOST_VALUE_CHARACTERS = 100

/** A cell as it is shown back: one line, shortened. */
export const shortValue = (value: string): string => {
  const line = value.replace(/\s+/g, ' ').trim()
  return line.length > MOST_VALUE_CHARACTERS ? `${line.slice(0, MOST_VALUE_CHARACTERS - 1)}…` : line
}

/** A whole file; `megohm` where a heading says it. */
export function refusedFile(code: FileProblemCode | 'megohm', context: ProblemContext = {}): Refused {
  const problem = code === 'megohm' ? sentence(code, context) : fileSentence(code, context)
  return { kind: 'refused', row: null, column: null, value: null, code, problem }
}

export interface RefusedAt {
  row: number
  column?: string | null
  value?: string | undefined
  surveyRef?: string | undefined
}

export function refusedAt(at: RefusedAt, code: ProblemCode, context: ProblemContext = {}): Refused {
  const value = at.value === undefined ? undefined : shortValue(at.value)
  const words: ProblemContext = { ...context }
  if (at.column) words.name ??= at.column
  if (value) words.value ??= value
  const refused: Refused = {
    kind: 'refused',
    row: at.row,
    column: at.column ?? null,
    value: value ?? null,
    code,
    problem: sentence(code, words),
  }
  return at.surveyRef ? { ...refused, surveyRef: shortValue(at.surveyRef) } : refused
}
