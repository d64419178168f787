/** Four stakes in a line at equal spacing (Wenner): what the soil is. */

/**
 * Apparent resistivity from one four-point reading, ohm-m, full formula for stakes of depth b:
 * 4 pi a R / (1 + 2a/sqrt(a² + 4b²) − a/sqrt(a² + b²)). IEEE 81 (from memory; exact for buried point electrodes).
 * Null when the spacing or the reading is not positive. Depth absent = 0, which gives 2 pi a R.
 */
export function apparentResistivityOhmM(spacingM: number, resistanceOhm: number, depthM = 0): number | null {
  if (!(spacingM > 0 && resistanceOhm > 0 && depthM >= 0)) return null
  const a = spacingM
  const b = depthM
  const bottom = 1 + (2 * a) / Math.sqrt(a ** 2 + 4 * b ** 2) - a / Math.sqrt(a ** 2 + b ** 2)
  const value = (4 * Math.PI * a * resistanceOhm) / bottom
  return Number.isFinite(value) ? value : null
}
