import type { Field, StoredUnit } from './field-types.ts'

/**
 * Every reason for which a cell, a row or a survey is refused (whole files: file-problems.ts), with the sentence a person can act on: what is wrong, what is expected.
 * Codes are part of the contract; sentences may be improved at any time.
 */

export interface ProblemContext {
  /** Heading or field name, as the person knows it. */
  name?: string
  /** The cell or value found, shortened. */
  value?: string
  /** What is taken here, as a noun phrase with an example. */
  expected?: string
  /** Further words that only this code uses. */
  detail?: string
}

export type Sentence = (context: ProblemContext) => string

const it = ({ name }: ProblemContext) => name ?? 'This'
const found = ({ value }: ProblemContext) => (value ? `“${value}”` : 'what is written here')
const wanted = ({ expected }: ProblemContext) => expected ?? 'another value'
export const detail = ({ detail: words }: ProblemContext) => words ?? 'see the description of the columns'

export const PROBLEMS = {
  // one cell or one field
  'missing-value': (c) => `${it(c)} is empty. Fill it in with ${wanted(c)}.`,
  'not-a-number': (c) => `${it(c)} says ${found(c)}, which is not a number. Write ${wanted(c)}.`,
  'ambiguous-number': (c) =>
    `${it(c)} says ${found(c)}: that can be a fraction or a thousand. Say which decimal sign the file uses, or write it without a group of three.`,
  'other-decimal-sign': (c) =>
    `${it(c)} says ${found(c)}, which does not fit the decimal sign of this file. Write ${wanted(c)} with the file's own decimal sign.`,
  megohm: (c) =>
    `${it(c)} is given in megohm, one letter away from milliohm. Write the value in ohms, milliohms or kilohms.`,
  'unknown-unit': (c) => `${it(c)} says ${found(c)}, whose unit is not known here. Write ${wanted(c)}.`,
  'over-range-here': (c) =>
    `${it(c)} says ${found(c)}. Over range is understood for a reading's resistance only: write ${wanted(c)}, or leave it empty.`,
  'below-range': (c) =>
    `${it(c)} says ${found(c)}: a value below the display's range is not a reading. Measure again on a lower range, or write what the display showed.`,
  'out-of-range': (c) => `${it(c)} says ${found(c)}, which cannot be. Write ${wanted(c)}.`,
  'unknown-word': (c) => `${it(c)} says ${found(c)}, which is not one of its words. Write ${wanted(c)}.`,
  'bad-date': (c) =>
    `${it(c)} says ${found(c)}, which is not a date that can be read without guessing. Write ${wanted(c)}, or declare the file's date pattern.`,
  'bad-time-zone': (c) => `The time zone ${found(c)} is not known. Use a name such as Europe/Vienna.`,
  'bad-email': (c) => `${it(c)} says ${found(c)}, which is not an e-mail address. Write ${wanted(c)}.`,
  'too-long': (c) => `${it(c)} is too long. Write ${wanted(c)}.`,
  'odd-character': (c) =>
    `${it(c)} holds characters that are not text, such as a line break in a name or a control character. Type it again.`,
  'wrong-type': (c) =>
    `${it(c)} must be ${wanted(c)}.${c.detail === 'optional' ? ' Leave the field out when it is not known.' : ''}`,
  'unknown-field': (c) => `There is no field “${it(c)}” here. Check its spelling, or leave it out.`,
  // one row
  'too-many-cells': (c) =>
    `This row has more cells than the heading row. A ${detail(c)} inside a cell needs quotation marks round the cell.`,
  'quotes-broken': () =>
    'A quotation mark (") stands inside a quoted cell of this row. Double it (""), or remove it.',
  // one survey
  'rows-contradict': (c) =>
    `${it(c)} says ${found(c)}, but row ${detail(c)}. Rows of one survey must agree: correct one, or give the other survey its own reference.`,
  'survey-conflict': (c) =>
    `This survey reference was already used for another survey of the same electrode (row ${detail(c)}). Give this one its own reference, or name the survey it replaces in corrects.`,
  'duplicate-entry': (c) =>
    `This entry was already given with other content (${detail(c)}). Keep one of the two.`,
  'no-readings': () =>
    'A survey with outcome “tested” needs a reading. Give one, or say in outcome why the test could not be made.',
  'too-many-readings': (c) =>
    `The survey has more than ${detail(c)} readings. Check that the rows of different surveys do not share a reference.`,
  'readings-not-expected': (c) =>
    `The outcome is “${detail(c)}”, yet there are readings. Take the readings out, or set outcome to tested.`,
  'field-needed': (c) => `A ${detail(c)} survey needs ${it(c)}. Fill it in with ${wanted(c)}.`,
  'field-not-expected': (c) => `${it(c)} does not belong here: ${detail(c)}. Leave it empty.`,
  'one-reading-only': () =>
    'A two-point test has one reading. Give each further pair of points a survey of its own.',
  'probe-beyond': (c) =>
    `The potential probe is at ${found(c)} m, at or beyond the current probe (${detail(c)} m). It stands between the electrode and the current probe: check both distances, or give lead_angle_deg if the leads ran at an angle.`,
  'condition-contradicts': (c) => `${it(c)} contradicts the rest of this reading: ${detail(c)}.`,
} as const satisfies Record<string, Sentence>

export type ProblemCode = keyof typeof PROBLEMS

/** The sentence for a code. */
export const sentence = (code: ProblemCode, context: ProblemContext = {}): string =>
  (PROBLEMS[code] as Sentence)(context)

const UNIT_WORDS: Record<StoredUnit, string> = {
  m: ' in metres',
  mm: ' in millimetres',
  m2: ' in square metres',
  ohm: ' in ohms',
  deg: ' in degrees',
  C: ' in degrees Celsius',
  V: ' in volts',
  Hz: ' in hertz',
  mA: ' in milliamperes',
  '%': ' in per cent',
  months: ' of months',
  none: '',
}

const EXAMPLES: Partial<Record<StoredUnit, string>> = {
  ohm: '11.2',
  m: '18.6',
  mm: '16',
  C: '12.5',
  deg: '90',
  months: '12',
}

/** What a field takes, in words with an example: “a number in ohms, more than 0, such as 11.2”. */
export function expectationOf(field: Field): string {
  switch (field.type) {
    case 'number': {
      const lower =
        field.above !== undefined
          ? `, more than ${field.above}`
          : field.min !== undefined
            ? `, ${field.min} or more`
            : ''
      const example = EXAMPLES[field.unit]
      return `a ${field.whole ? 'whole ' : ''}number${UNIT_WORDS[field.unit]}${lower}${field.max <= 1000 ? ` and up to ${field.max}` : ''}${example ? `, such as ${example}` : ''}`
    }
    case 'word':
      return `one of ${field.words.join(', ')}`
    case 'instant':
      return 'a date and time such as 2026-05-04T10:20 or 2026-05-04'
    case 'day':
      return 'a date such as 2026-05-04'
    case 'email':
      return 'an address such as engineer@example.org'
    case 'zone':
      return 'a time zone such as Europe/Vienna'
    default:
      return `text of at most ${field.maxLength} characters`
  }
}
