/** Numbers as a person reads them: three significant figures, no exponent in the usual range, the unit in plain letters. */

export function figures(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return 'not known'
  if (value === 0) return '0'
  const size = Math.abs(value)
  if (size >= 1e7 || size < 1e-4) return value.toExponential(digits - 1)
  const decimals = Math.max(0, Math.min(6, digits - 1 - Math.floor(Math.log10(size))))
  return value.toFixed(decimals)
}

export const inOhm = (value: number): string => `${figures(value)} ohm`
export const inMetres = (value: number): string => `${figures(value)} m`
export const inPercent = (value: number): string => `${figures(value, 2)} %`
