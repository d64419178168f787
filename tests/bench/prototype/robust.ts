/** Median; NaN for nothing. */
export function medianOf(values: readonly number[]): number {
  if (values.length === 0) return Number.NaN
  const s = [...values].sort((a, b) => a - b)
  const h = Math.floor(s.length / 2)
  return s.length % 2 ? s[h]! : (s[h - 1]! + s[h]!) / 2
}

/** 1.4826 times the median distance from the median. */
export function madOf(values: readonly number[]): number {
  const m = medianOf(values)
  return 1.4826 * medianOf(values.map((v) => Math.abs(v - m)))
}

/** Lower Cholesky factor of a small symmetric matrix; pivots floored. */
export function cholesky(a: readonly (readonly number[])[]): number[][] {
  const n = a.length
  const l = a.map(() => new Array<number>(n).fill(0))
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      let s = a[i]![j]!
      for (let k = 0; k < j; k++) s -= l[i]![k]! * l[j]![k]!
      l[i]![j] = i === j ? Math.sqrt(Math.max(1e-12, s)) : s / l[j]![j]!
    }
  return l
}

/** Solves L·u = b. */
export function forward(l: readonly (readonly number[])[], b: readonly number[]): number[] {
  const u: number[] = []
  for (let i = 0; i < l.length; i++) {
    let s = b[i]!
    for (let k = 0; k < i; k++) s -= l[i]![k]! * u[k]!
    u.push(s / l[i]![i]!)
  }
  return u
}

/** Solves L·L'·x = b. */
export function solve(l: readonly (readonly number[])[], b: readonly number[]): number[] {
  const x = forward(l, b)
  for (let i = l.length - 1; i >= 0; i--) {
    let s = x[i]!
    for (let k = i + 1; k < l.length; k++) s -= l[k]![i]! * x[k]!
    x[i] = s / l[i]![i]!
  }
  return x
}

/** Huber regression by iterated weights with a ridge; corner at two MAD of the residuals, not below `leastScale`. */
export function huber(
  rows: readonly (readonly number[])[],
  y: readonly number[],
  ridge: readonly number[],
  rounds: number,
  leastScale: number,
): { beta: number[]; residuals: number[] } {
  let w = y.map(() => 1)
  let beta: number[] = []
  let residuals: number[] = []
  for (let round = 0; round < rounds; round++) {
    const a = ridge.map((d, i) =>
      ridge.map((_, j) => rows.reduce((s, r, k) => s + w[k]! * r[i]! * r[j]!, i === j ? d : 0)),
    )
    const b = ridge.map((_, i) => rows.reduce((s, r, k) => s + w[k]! * r[i]! * y[k]!, 0))
    beta = solve(cholesky(a), b)
    residuals = y.map((v, k) => v - rows[k]!.reduce((s, x, i) => s + x * beta[i]!, 0))
    const corner = 2 * Math.max(leastScale, 1.4826 * medianOf(residuals.map(Math.abs)))
    w = residuals.map((r) => (Math.abs(r) <= corner ? 1 : corner / Math.abs(r)))
  }
  return { beta, residuals }
}
