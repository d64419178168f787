import { detail, type ProblemContext, type Sentence } from './problems.ts'

/** Every reason for which a whole file is refused, with what is wrong and what to do. Apart, because the form has no use for them. */
export const FILE_PROBLEMS = {
  'not-a-csv': (c) => `This is ${detail(c)}, not a CSV file. Save the sheet as CSV and hand that in.`,
  'bad-encoding': () =>
    'The characters of this file cannot be read. Save it as “CSV UTF-8” and hand it in again.',
  'empty-file': () => 'The file has no heading row. The first row must name the columns.',
  'columns-missing': (c) =>
    `The file lacks ${detail(c)}. Add what is missing, or map your own headings to these names, and hand it in again.`,
  'column-twice': (c) =>
    `Two columns mean the same: ${detail(c)}. Keep one of them, or rename the other, and hand the file in again.`,
  'two-forms': () =>
    'The file has both potential_probe_m and columns such as r62_ohm. Use one row a reading, or one row a survey, not both.',
  'too-many-columns': (c) =>
    `The file has more than ${detail(c)} columns. Check the separator and hand it in again.`,
  'record-too-long': (c) =>
    `The row that begins at row ${detail(c)} never ends: a quotation mark (") was opened there and not closed. Close it and hand the file in again.`,
  'quotes-open': (c) =>
    `At row ${detail(c)} a quotation mark (") is opened and not closed where the cell ends, so later rows run into it. Double the marks inside the cell, or remove them, and hand the file in again.`,
  'file-changed': () => 'The file changed while it was being read. Hand it in again.',
  'bad-column-map': (c) => `The column map cannot be used: ${detail(c)}.`,
} as const satisfies Record<string, Sentence>

export type FileProblemCode = keyof typeof FILE_PROBLEMS

/** The sentence for a code. */
export const fileSentence = (code: FileProblemCode, context: ProblemContext = {}): string =>
  (FILE_PROBLEMS[code] as Sentence)(context)
