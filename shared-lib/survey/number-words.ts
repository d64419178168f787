/** Numbers as people read them, on pages and in mail alike. */

/** Significant digits a resistance is shown with: never more than a display has, never fewer than a decision needs. */
export const SIGNIFICANT = 4

const makeFormats = () =>
  [20, 0].map(
    (digits) => new Intl.NumberFormat('en-GB', { maximumFractionDigits: digits, useGrouping: false }),
  )
// Made once, each takes a hundred times as long to make as to use; and at first use, not in every cold start.
let formats: Intl.NumberFormat[] | undefined

/** A number as people write it: at most `digits` significant digits, decimal point, no exponent, a real minus sign. */
export function number(value: number, digits = SIGNIFICANT): string {
  if (!Number.isFinite(value)) return 'not a number'
  const rounded = Number(value.toPrecision(digits))
  formats ??= makeFormats()
  const format = formats[Math.abs(rounded) >= 10 ** digits ? 1 : 0]!
  return format.format(rounded).replace('-', '\u2212')
}

/** A chance as a whole percent; the ends are not claimed. */
export function chance(probability: number): string {
  if (probability > 0.99) return 'over 99 %'
  if (probability < 0.01) return 'under 1 %'
  return `${Math.round(probability * 100)} %`
}
