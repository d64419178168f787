/**
 * A spreadsheet runs a text cell that begins like a formula. On the way out such text gets an apostrophe in front, and text that
 * already has apostrophes before such a sign gets one more, so that reading can take exactly one off again.
 */
const FORMULA_SIGNS = '=+\\-@\\t\\r＝＋－＠'

/** Text that is to be guarded when written. */
export const TO_GUARD = new RegExp(`^'*[${FORMULA_SIGNS}]`)
const GUARDED = new RegExp(`^'+[${FORMULA_SIGNS}]`)

/** Undoes the guard of an exported text cell. */
export const withoutGuard = (text: string): string => (GUARDED.test(text) ? text.slice(1) : text)
