/** Numbers as a person or a display writes them. */

/** To so many decimals, without the tail that binary fractions leave. */
export function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals))
}

/** The step of a usual display: 0.01 below 20 ohm, 0.1 below 200, 1 below 2000, else 10. */
function displayStepOhm(resistanceOhm: number): number {
  if (resistanceOhm < 20) return 0.01
  if (resistanceOhm < 200) return 0.1
  return resistanceOhm < 2000 ? 1 : 10
}

/** What the display shows for that resistance, ohm. */
export function displayed(resistanceOhm: number): number {
  const step = displayStepOhm(resistanceOhm)
  return rounded(Math.round(resistanceOhm / step) * step, 2)
}
