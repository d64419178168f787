/** What a finding against prior tests rests on: kept with it as evidence. */
export interface Comparison {
  resistanceOhm: number
  /** What earlier tests (and the neighbours, where there are any) led to expect, with its 95 % range. */
  expectedOhm: number
  expectedLowOhm: number
  expectedHighOhm: number
  /** This value over the expected one. */
  ratio: number
  earlier: { surveyRef: string; testedAt: string; resistanceOhm: number }[]
  /** How the neighbours moved since then, %; null without neighbours. */
  sharedShiftPercent: number | null
  neighbours: number
  alternatives: Alternative[]
}

/** Another explanation of the same numbers, in words and with its chance where one is claimed. */
export interface Alternative {
  explanation: string
  probability: number | null
}

/** Numbers for people: three significant digits, so that evidence does not pretend. */
export function rounded(value: number, digits = 3): number {
  return Number.isFinite(value) ? Number(value.toPrecision(digits)) : 0
}

/** A resistance in a sentence: `0.214 ohm`, `11 ohm`, `1,240 ohm` is never written with a thousands sign. */
export function ohms(value: number): string {
  return `${rounded(value)} ohm`
}

/** `1.8 times`, `12 times`. */
export function times(ratio: number): string {
  return `${rounded(ratio, 2)} times`
}

export function dayText(ms: number): string {
  return new Date(ms).toISOString().slice(0, 10)
}
