import type { DatePattern } from './date-pattern.ts'
import type { Field, TextField } from './field-types.ts'
import { withoutGuard } from './formula-guard.ts'
import { type DecimalSign, type NumberTrouble, readNumber } from './numbers.ts'
import { readDay, readInstant } from './times.ts'
import { isTimeZone } from './zones.ts'

/** How the cells of one column are to be read: what the file, the upload or the column map says about it. */
export interface CellReading {
  decimalSign?: DecimalSign
  pointDoubtful?: boolean
  unit?: string
  datePattern?: DatePattern
  timeZone?: string
}

export type CellTrouble =
  | NumberTrouble
  | 'unknown-word'
  | 'bad-date'
  | 'bad-time-zone'
  | 'bad-email'
  | 'too-long'
  | 'odd-character'

export type CellValue =
  | { kind: 'value'; value: string | number }
  | { kind: 'over-range'; atLeast?: number }
  | { kind: 'refused'; code: CellTrouble }

const value = (read: string | number): CellValue => ({ kind: 'value', value: read })
const refused = (code: CellTrouble): CellValue => ({ kind: 'refused', code })

// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
const NOT_TEXT = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\ufffe\uffff]/
const LINE_BREAK = /[\n\u2028\u2029]/

/** Text as stored: line breaks as `\n`, composed characters, no space at the ends. */
export const cleanText = (text: string): string => text.replace(/\r\n?/g, '\n').normalize('NFC').trim()

/** Checks cleaned text against its field; null when it may stand. */
export function textTrouble(text: string, field: TextField): CellTrouble | null {
  if (NOT_TEXT.test(text) || !text.isWellFormed()) return 'odd-character'
  if (field.type !== 'text' && LINE_BREAK.test(text)) return 'odd-character'
  if (text.length > field.maxLength) return 'too-long'
  if (field.type === 'email' && !/^[^\s@<>,;]+@[^\s@<>,;]+\.[^\s@<>,;]+$/.test(text)) return 'bad-email'
  if (field.type === 'zone' && !isTimeZone(text)) return 'bad-time-zone'
  return null
}

const sameWord = (word: string) => word.toLowerCase().replace(/[\s_\-\u2010-\u2015]/g, '')

/** Most text: printable ASCII that begins with a letter or digit, without a space at the end. Nothing to compose, unguard or refuse. */
const PLAIN_TEXT = /^[A-Za-z0-9](?:[ -~]*[!-~])?$/

/** The one of these words that is written here, without regard to case, spaces, `-` or `_`; undefined for none. */
export function wordOf(written: string, words: readonly string[]): string | undefined {
  if (words.includes(written)) return written
  const plain = sameWord(written.trim())
  return words.find((word) => sameWord(word) === plain)
}

/** Reads one non-empty cell as its field says. Never throws, never NaN. */
export function readCell(cell: string, field: Field, reading: CellReading): CellValue {
  switch (field.type) {
    case 'number':
      return readNumber(cell, field, reading)
    case 'word': {
      const word = wordOf(cell, field.words)
      return word === undefined ? refused('unknown-word') : value(word)
    }
    case 'instant':
    case 'day': {
      const time = field.type === 'day' ? readDay(cell, reading) : readInstant(cell, reading)
      return time.ok ? value(time.iso) : refused(time.code)
    }
    default: {
      const simple = field.type === 'id' || field.type === 'text'
      if (simple && cell.length <= field.maxLength && PLAIN_TEXT.test(cell)) return value(cell)
      const text = withoutGuard(cleanText(cell))
      const trouble = textTrouble(text, field)
      return trouble ? refused(trouble) : value(text)
    }
  }
}
