/** One row of the bench: what was measured, against what, in one run on one machine. */
export interface Ratio {
  name: string
  /** What was measured, in words. */
  what: string
  against: string
  /** Seconds, milliseconds, bytes … of both sides, as told by `unit`. */
  measured: number
  reference: number
  unit: string
  ratio: number
  /** The ratio asked for. */
  goal: number
  /** More figures worth reading. */
  notes?: Record<string, number | string>
}

/** One benchmark of the table. `scale` is 1 for the full size; smaller sizes are for trying it out. */
export interface Benchmark {
  name: string
  run(scale: number): Promise<Ratio[]>
}

export const rounded = (value: number, digits = 3): number => Number(value.toPrecision(digits))

/** A row from the two sides' figures. */
export function ratioOf(
  row: Omit<Ratio, 'ratio' | 'measured' | 'reference'> & { measured: number; reference: number },
): Ratio {
  return {
    ...row,
    measured: rounded(row.measured, 4),
    reference: rounded(row.reference, 4),
    ratio: rounded(row.measured / row.reference),
  }
}

export const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN
}

/** The value below which the share `p` of the values lies. */
export const quantile = (values: readonly number[], p: number): number => {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))] ?? Number.NaN
}
