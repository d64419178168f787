import { NEAREST_TO_BOUND, type NumberField } from './field-types.ts'
import { readUnit } from './units.ts'

/** The sign that separates whole from fraction: `.` or `,`. */
export type DecimalSign = '.' | ','

/** How a file or a column is to be read. `unsettled` = nothing declared and the file does not tell. */
export interface NumberReading {
  decimalSign?: DecimalSign
  /** True where a lone group of three after a point is no less doubtful than after a comma (a file separated by `;`). */
  pointDoubtful?: boolean
  /** Unit of the column, where it is not the stored one. */
  unit?: string
}

export type NumberCell =
  | { kind: 'value'; value: number }
  | { kind: 'over-range'; atLeast?: number }
  | { kind: 'refused'; code: NumberTrouble }

export type NumberTrouble =
  | 'not-a-number'
  | 'ambiguous-number'
  | 'other-decimal-sign'
  | 'megohm'
  | 'unknown-unit'
  | 'over-range-here'
  | 'below-range'
  | 'out-of-range'

const refused = (code: NumberTrouble): NumberCell => ({ kind: 'refused', code })

/**
 * The common cell, which can mean one thing only: digits, or digits with a point and not just three places. Digit by digit, because
 * there are millions of them; exact, because up to 15 digits and a power of ten up to 22 are floats without a rounding. −1 for any other.
 */
function plainNumber(cell: string, pointAllowed: boolean): number {
  if (cell.length === 0 || cell.length > MOST_PLAIN) return -1
  let digits = 0
  let places = -1
  for (let i = 0; i < cell.length; i++) {
    const digit = cell.charCodeAt(i) - ZERO
    if (digit >= 0 && digit <= 9) {
      digits = 10 * digits + digit
      if (places >= 0) places++
    } else if (digit === POINT && pointAllowed && places < 0 && i > 0) places = 0
    else return -1
  }
  if (places === 0 || places === 3) return -1
  return places < 0 ? digits : digits / TENS[places]!
}
const MOST_PLAIN = 15
/** Written out: a power worked out may be off in its last digit. */
const TENS = [1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14]
const ZERO = 0x30
const POINT = 0x2e - ZERO

const OVER_RANGE = /^(\+?o\.?l\.?|ovl|over|over[ -]?range|over[ -]?load|∞)$/i
const PARTS =
  /^(?<sign>[+-]?)(?<digits>[\d][\d.,'’ ]*|[.,]\d[\d ]*)(?<exponent>e[+-]?\d{1,3})?\s*(?<unit>[^\d\s.,'’+-][^\d]*\d?)?$/i

/** No-break, thin, figure and narrow spaces become plain ones; the typographic minus signs become a hyphen. */
function plainCharacters(cell: string): string {
  return cell
    .replace(/[\u00a0\u2000-\u200a\u202f\u205f\u3000]/g, ' ')
    .replace(/[\u2212\u2013\ufe63\uff0d]/g, '-')
    .trim()
}

type Form =
  /** Reads one way only; `sign` = the decimal sign it shows, if any. */
  | { kind: 'clear'; text: string; sign: DecimalSign | null }
  /** One separator and a lone group of three: a fraction or a thousand. */
  | { kind: 'doubtful'; separator: DecimalSign; asFraction: string; asThousand: string }
  | { kind: 'none' }

const grouped = (whole: string, separator: string): boolean => {
  const groups = whole.split(separator)
  return /^\d{1,3}$/.test(groups[0]!) && groups.slice(1).every((group) => /^\d{3}$/.test(group))
}

/** What the digits and separators of a number can mean, without knowing the file. */
function formOf(digits: string): Form {
  const spaced = /[ '’]/.exec(digits.trim())
  let rest = digits.trim()
  if (spaced) {
    // Spaces and apostrophes only ever separate thousands; the separator must be the same throughout.
    const whole = rest.split(/[.,]/)[0]!
    if (!grouped(whole, spaced[0]) || /[ '’]/.test(rest.slice(whole.length))) return { kind: 'none' }
    rest = whole.replaceAll(spaced[0], '') + rest.slice(whole.length)
  }
  const points = rest.split('.').length - 1
  const commas = rest.split(',').length - 1
  if (points + commas === 0) return { kind: 'clear', text: rest, sign: null }
  if (points > 0 && commas > 0) {
    const sign: DecimalSign = rest.lastIndexOf('.') > rest.lastIndexOf(',') ? '.' : ','
    const group = sign === '.' ? ',' : '.'
    const [whole = '', fraction = '', more] = rest.split(sign)
    if (more !== undefined || spaced || !grouped(whole, group) || !/^\d+$/.test(fraction))
      return { kind: 'none' }
    return { kind: 'clear', text: `${whole.replaceAll(group, '')}.${fraction}`, sign }
  }
  const separator: DecimalSign = points > 0 ? '.' : ','
  if (points + commas > 1) {
    if (spaced || !grouped(rest, separator)) return { kind: 'none' }
    return { kind: 'clear', text: rest.replaceAll(separator, ''), sign: separator === '.' ? ',' : '.' }
  }
  const [whole = '', fraction = ''] = rest.split(separator)
  if (fraction === '') return { kind: 'none' }
  const text = `${whole === '' ? '0' : whole}.${fraction}`
  const doubtful = !spaced && fraction.length === 3 && /^[1-9]\d{0,2}$/.test(whole)
  if (doubtful) return { kind: 'doubtful', separator, asFraction: text, asThousand: whole + fraction }
  return { kind: 'clear', text, sign: separator }
}

/** The decimal sign this cell shows beyond doubt, or null. `1,200` shows none; `11,2`, `0,125` and `1.234,5` show a comma. */
export function decimalSignShown(cell: string): DecimalSign | null {
  const digits = PARTS.exec(plainCharacters(cell).replace(/^[>≥]=?\s*/, ''))?.groups?.digits
  if (digits === undefined) return null
  const form = formOf(digits)
  return form.kind === 'clear' ? form.sign : null
}

function settle(digits: string, reading: NumberReading): { text: string } | { code: NumberTrouble } {
  const form = formOf(digits)
  const { decimalSign } = reading
  if (form.kind === 'none') return { code: 'not-a-number' }
  if (form.kind === 'clear') {
    if (form.sign !== null && decimalSign !== undefined && form.sign !== decimalSign)
      return { code: 'other-decimal-sign' }
    return { text: form.text }
  }
  if (decimalSign !== undefined)
    return { text: form.separator === decimalSign ? form.asFraction : form.asThousand }
  if (form.separator === '.' && !reading.pointDoubtful) return { text: form.asFraction }
  return { code: 'ambiguous-number' }
}

function toStored(
  text: string,
  unitText: string | undefined,
  field: NumberField,
  reading: NumberReading,
): NumberCell {
  const raw = Number(text)
  if (!Number.isFinite(raw)) return refused('not-a-number')
  const named = unitText ?? reading.unit
  if (named === undefined) return { kind: 'value', value: raw + 0 }
  const unit = readUnit(named, field.unit)
  if (!unit.ok) return refused(unit.code)
  return { kind: 'value', value: unit.toStored(raw) + 0 }
}

/** Whether the value, in the stored unit, lies within what the field takes. */
function withinBounds(value: number, field: NumberField): boolean {
  if (!Number.isFinite(value) || value > field.max) return false
  if (field.above !== undefined && value <= field.above + NEAREST_TO_BOUND) return false
  if (field.min !== undefined && value < field.min) return false
  return !field.whole || Number.isInteger(value)
}

const bounded = (cell: NumberCell, field: NumberField): NumberCell =>
  cell.kind === 'value' && !withinBounds(cell.value, field) ? refused('out-of-range') : cell

/**
 * Reads one non-empty cell of a number column into the stored unit. A number with its unit in the cell, decimal point or decimal
 * comma, and grouped thousands are read where only one meaning is possible; what could mean two things is refused. Over-range
 * markers (`OL`, `>2000`) are a reading where the field takes them. Never NaN, never infinite.
 */
export function readNumber(cell: string, field: NumberField, reading: NumberReading = {}): NumberCell {
  const trimmed = cell.trim()
  const easy = reading.unit === undefined ? plainNumber(trimmed, reading.decimalSign !== ',') : -1
  if (easy >= 0) return bounded({ kind: 'value', value: easy }, field)
  const plain = plainCharacters(cell)
  if (OVER_RANGE.test(plain)) return field.overRange ? { kind: 'over-range' } : refused('over-range-here')
  if (/^[<≤]/.test(plain)) return refused('below-range')
  const over = /^[>≥]=?\s*(.*)$/s.exec(plain)
  const parts = PARTS.exec(over ? over[1]! : plain)?.groups
  if (!parts) return refused('not-a-number')
  const settled = settle(parts.digits!, reading)
  if ('code' in settled) return refused(settled.code)
  const value = bounded(
    toStored(
      `${parts.sign}${settled.text}${parts.exponent ?? ''}`,
      parts.unit?.trim() || undefined,
      field,
      reading,
    ),
    field,
  )
  if (!over || value.kind !== 'value') return value
  return field.overRange ? { kind: 'over-range', atLeast: value.value } : refused('over-range-here')
}
